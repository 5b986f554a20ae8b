"""What goes to the desktop beside a plan: its gaps, and what the audit and the advice found, as plain values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from planner.audit.gaps import GapRow
from planner.findings import Finding, Weight


def gaps_to_plain(rows: Iterable[GapRow]) -> list[dict[str, Any]]:
    """Return gap rows as values that JSON takes."""
    return [asdict(row) for row in rows]


def gaps_from_plain(values: Iterable[Mapping[str, Any]]) -> tuple[GapRow, ...]:
    """Return the gap rows again; TypeError where something is missing or not known."""
    return tuple(GapRow(**value) for value in values)


def findings_to_plain(found: Iterable[Finding]) -> list[dict[str, Any]]:
    """Return findings as values that JSON takes."""
    return [asdict(one) | {"weight": one.weight.value} for one in found]


def findings_from_plain(values: Iterable[Mapping[str, Any]]) -> tuple[Finding, ...]:
    """Return the findings again; TypeError, KeyError or ValueError where something is missing or not known."""
    return tuple(Finding(**{**value, "weight": Weight(value["weight"])}) for value in values)
