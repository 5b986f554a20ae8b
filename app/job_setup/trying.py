"""A change that is tried on the job, and what of it can be tried again where it was refused; no Qt."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from app.job_setup.items import Path, Table
from planner.errors import Fault
from planner.jobfile.tables import path_words

_TIME = re.compile(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::00)?")


@dataclass(frozen=True)
class Try:
    """A change that was asked for: its words, its values for the file, and the place that was typed or pressed last.

    typed: the values of fields that go along, that of `path` with them; none for what is no field.
    """

    words: str
    made: Mapping[Path, Any]
    path: Path
    typed: Mapping[Path, Any] = field(default_factory=dict)


def fault_words(fault: Fault) -> str:
    """Return a fault without its place; times as they are typed."""
    words = f"found {fault.found}; allowed: {fault.allowed}. {fault.hint}".rstrip()
    return _TIME.sub(r"\1 \2", words)


def told_at(faults: Sequence[Fault], refused: Try, table: Table) -> dict[Path, str]:
    """Return, in words, the faults that are told at a field that was typed into."""
    paths = {path_words(path, table): path for path in refused.typed}
    found: dict[Path, str] = {}
    for fault in faults:
        path = paths.get(fault.path)
        if path is not None and path not in found:
            found[path] = fault_words(fault)
    return found


def without_blamed(
    refused: Try, told: Mapping[Path, str], faults: Sequence[Fault], table: Table
) -> dict[Path, Any] | None:
    """Return what to try again: what was typed last, without what went along with it and is to blame; None: nothing.

    To blame is a field with a fault of its own, or one in another table that has one. Where nothing of it is, but
    the faults lie outside of all that was typed, what was typed last is tried by itself; where they lie between it
    and what went along, they stay together.
    """
    last = refused.path
    along = [path for path in refused.typed if path != last]
    if not along or last in told:
        return None
    at = {fault.path for fault in faults}
    blamed = {one for one in along if one in told or (one[:-1] != last[:-1] and path_words(one[:-1], table) in at)}
    if not blamed and not at & {path_words(path[:-1], table) for path in refused.typed}:
        blamed = set(along)
    return {path: value for path, value in refused.typed.items() if path not in blamed} if blamed else None
