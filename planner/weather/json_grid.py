"""From values at instants, as JSON answers give them, to an hourly series: order, holes and the last hour."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault
from planner.weather import fill
from planner.weather.series import HOUR, Floats, HourlySeries

_LONGEST_GAP = timedelta(days=31)
_QUARTER_MIN = 15


def time_faults(instants: Sequence[datetime], path: str) -> Iterator[Fault]:
    """Yield a fault for each instant that does not go on from the one before in whole hours.

    path: how a place is written, with {} for the index.
    """
    if instants and (instants[0].minute % _QUARTER_MIN or instants[0].second):
        yield _fault("forecast-time", path.format(0), instants[0], "full hours", "Ask for hourly values.")
    for index, (before, now) in enumerate(pairwise(instants), 1):
        place = path.format(index)
        if now == before:
            hint = "Two values for one hour, as where clocks go back: ask for times in UTC."
            yield _fault("forecast-time-repeated", place, now, "each hour once", hint)
        elif now < before:
            yield _fault("forecast-time-order", place, now, "rising times", "Fetch it again.")
        elif (now - before) % HOUR:
            yield _fault("forecast-time", place, now, "whole hours from the first one", "Ask for hourly values.")
        elif now - before > _LONGEST_GAP:
            yield _fault("forecast-hours-missing", place, now, "gaps of up to 31 days", "Fetch it again.")


def on_grid(instants: Sequence[datetime], values: Sequence[float]) -> Floats:
    """Return the values on the hourly axis from the first instant to the last, NaN between."""
    grid = np.full((instants[-1] - instants[0]) // HOUR + 1, np.nan)
    grid[[(instant - instants[0]) // HOUR for instant in instants]] = values
    return grid


def json_series(
    start: datetime,
    grid: dict[str, Floats],
    zone: ZoneInfo,
    *,
    source: str,
    issued: datetime | None,
    attribution: str,
    notes: tuple[str, ...],
    wide_from: int | None = None,
) -> HourlySeries:
    """Return the series with short holes filled and said, long ones open and said.

    Holes of up to 3 h are filled, and from the hour `wide_from` on, where values come in wider steps, of up to 5 h.
    A last hour whose rain is not known is left off: the one before may stand for it.
    """
    length = len(grid["rain_mm"])
    hours = length - 1 if length > 1 and np.isnan(grid["rain_mm"][-1]) else length
    holes = [hole for hole in fill.holes(grid) if hole.first < hours]
    closed = [hole for hole in holes if hole.can_be_filled(length, _longest(hole, wide_from))]
    left = [hole for hole in holes if not hole.can_be_filled(length, _longest(hole, wide_from))]
    told = [hole for hole in closed if wide_from is None or hole.first <= wide_from or hole.column == "rain_mm"]
    return HourlySeries(
        start=start,
        **{name: fill.filled(name, values, closed)[:hours] for name, values in grid.items()},
        source=source,
        issued=issued,
        notes=notes + fill.notes(told, start, zone, hours) + fill.gap_notes(left, start, zone),
        attribution=attribution,
    )


def _longest(hole: fill.Hole, wide_from: int | None) -> int:
    return fill.LONGEST_WIDE_HOLE_H if wide_from is not None and hole.first > wide_from else fill.LONGEST_HOLE_H


def _fault(code: str, path: str, found: datetime, allowed: str, hint: str) -> Fault:
    return Fault(code, path, None, found.isoformat(), allowed, hint)
