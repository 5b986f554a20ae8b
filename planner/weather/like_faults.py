"""Faults of one kind as one fault: a sheet that is wrong in every row has one mistake, not as many as it has rows."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from planner.errors import Fault

MOST_FAULTS = 50
_SHOWN = 3
_LONGEST = 80
_NUMBER = re.compile(r"\d+")


def capped(faults: Sequence[Fault]) -> list[Fault]:
    """Return `faults` in file order, those of a kind as one, at most 50; a last one says how many more there are.

    Of a kind are faults of one code in one column with one remedy, whatever the numbers in them. More than three of
    them are one fault at the first one's place: it shows the first three, and says how many they are up to where.
    """
    kinds: dict[tuple[str, ...], list[Fault]] = {}
    for fault in sorted(faults, key=lambda fault: (fault.line or 0, fault.path if fault.line is not None else "")):
        kinds.setdefault(_kind(fault), []).append(fault)
    merged = [one for alike in kinds.values() for one in ([_merged(alike)] if len(alike) > _SHOWN else alike)]
    return merged if len(merged) <= MOST_FAULTS else _cut(merged)


def _kind(fault: Fault) -> tuple[str, ...]:
    return fault.code, *(_NUMBER.sub("#", text) for text in (fault.path, fault.allowed, fault.hint))


def _merged(alike: Sequence[Fault]) -> Fault:
    first, last = alike[0], alike[-1]
    shown = ", ".join(f"{fault.found[:_LONGEST]} ({_place(fault)})" for fault in alike[:_SHOWN])
    more = len(alike) - _SHOWN
    return replace(first, found=f"{len(alike)} of one kind: {shown} and {more} more, the last in {_place(last)}")


def _place(fault: Fault) -> str:
    return fault.path if fault.line is None else f"line {fault.line}"


def _cut(faults: list[Fault]) -> list[Fault]:
    ordered = sorted(faults, key=lambda fault: (fault.line or 0, fault.path))
    left = ordered[MOST_FAULTS:]
    last = left[-1].line
    more = Fault(
        "forecast-more-faults",
        "the rest",
        last,
        f"and {len(left)} more faults" + ("" if last is None else " up to this line"),
        "none",
        "Mend those above and read the file again.",
    )
    return [*ordered[:MOST_FAULTS], more]
