"""Short holes in hourly columns: filled on a straight line, rain as dry, and each said in a note."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from planner.weather.series import HOUR, Floats

LONGEST_HOLE_H = 3
LONGEST_WIDE_HOLE_H = 5
"""Between values that are given every six hours."""
_MOST_NOTES = 20


@dataclass(frozen=True, order=True)
class Hole:
    """A run of missing values: the first index, the number of hours, and the column."""

    first: int
    hours: int
    column: str

    def can_be_filled(self, length: int, longest_h: int = LONGEST_HOLE_H) -> bool:
        """Say whether it is short enough and, in a column of `length` values, has a value at either end."""
        inside = self.first > 0 and self.first + self.hours < length
        return self.hours <= longest_h and (inside or self.column == "rain_mm")


def holes(columns: dict[str, Floats]) -> list[Hole]:
    """Return every run of NaN in the columns, by position."""
    return sorted(Hole(first, hours, name) for name, values in columns.items() for first, hours in _runs(values))


def filled(column: str, values: Floats, to_fill: Iterable[Hole]) -> Floats:
    """Return `values` with those holes of `to_fill` that are in `column` closed.

    Rain missing is dry, all else runs straight between its neighbours. Other holes stay NaN.
    """
    mine = [hole for hole in to_fill if hole.column == column]
    if not mine:
        return values
    closed, missing, at = values.copy(), np.isnan(values), np.arange(len(values))
    for hole in mine:
        run = slice(hole.first, hole.first + hole.hours)
        closed[run] = 0.0 if column == "rain_mm" else np.interp(at[run], at[~missing], values[~missing])
    return closed


def notes(found: list[Hole], start: datetime, zone: ZoneInfo, length: int) -> tuple[str, ...]:
    """Return in words what was filled: one note a run of hours, at most 20, then how many more."""
    by_run: dict[tuple[int, int], list[str]] = {}
    for hole in found:
        by_run.setdefault((hole.first, hole.hours), []).append(hole.column)
    lines = [_words(first, hours, names, start, zone) for (first, hours), names in by_run.items()]
    if len(lines) > _MOST_NOTES:
        lines = [*lines[:_MOST_NOTES], f"{len(lines) - _MOST_NOTES} more holes were filled in the same way."]
    dry = sum(hole.hours for hole in found if hole.column == "rain_mm")
    if dry * 10 > length:
        lines.insert(0, f"rain_mm is missing in {dry} of {length} hours and taken as dry there: is it given hourly?")
    return tuple(lines)


def gap_notes(left: list[Hole], start: datetime, zone: ZoneInfo) -> tuple[str, ...]:
    """Return in words which holes stay open: one note a run of hours, at most 20, then how many more."""
    by_run: dict[tuple[int, int], list[str]] = {}
    for hole in left:
        by_run.setdefault((hole.first, hole.hours), []).append(hole.column)
    lines = [
        f"{_when(first, hours, start, zone)}: {', '.join(names)} missing, left open ({hours} h)."
        for (first, hours), names in by_run.items()
    ]
    if len(lines) > _MOST_NOTES:
        lines = [*lines[:_MOST_NOTES], f"{len(lines) - _MOST_NOTES} more holes are left open."]
    return tuple(lines)


def _when(first: int, hours: int, start: datetime, zone: ZoneInfo) -> str:
    opens = (start + first * HOUR).astimezone(zone)
    closes = (start + (first + hours - 1) * HOUR).astimezone(zone)
    return f"{opens:%Y-%m-%d %H:%M}" + (f" to {closes:%Y-%m-%d %H:%M}" if hours > 1 else "")


def _words(first: int, hours: int, names: list[str], start: datetime, zone: ZoneInfo) -> str:
    when = _when(first, hours, start, zone)
    straight = [name for name in names if name != "rain_mm"]
    parts = [f"{', '.join(straight)} missing, filled on a straight line"] if straight else []
    parts += ["rain_mm missing, taken as dry"] if "rain_mm" in names else []
    return f"{when}: {'; '.join(parts)}."


def _runs(values: Floats) -> Iterator[tuple[int, int]]:
    missing = np.concatenate(([0], np.isnan(values).astype(int), [0]))
    edges = np.flatnonzero(np.diff(missing))
    for first, after in zip(edges[::2], edges[1::2], strict=True):
        yield int(first), int(after - first)
