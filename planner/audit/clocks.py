"""Cure clocks, integrated minute by minute.

A clock runs at 1 / hours(T): F(t) = integral of dt / hours(T(t)). It is full when it has run by 1.
Between a curve's points log(hours) is linear in temperature; beyond them the reading stays on the safe side:

- opening, colder than the first point: stands still, unless `stalls_below_c` lies lower: the first slope goes on
  down to that temperature; hotter than the last point: keeps the last hours;
- shutting, colder than the first point: keeps the first hours; hotter than the last: the last slope goes on.

The integration is by the midpoint rule over whole minutes with the temperature linear in each; a minute in which
an opening clock stalls is cut at the instant of stalling. Its error is well under a minute on any gap, so one
minute is the resolution of the audit's judgement.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.model import GapCurve

Floats = NDArray[np.float64]
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, eq=False)
class CureClock:
    """A clock's reading at each whole minute of the job, 0 at slot 0; never falls."""

    reading: Floats

    def full_at(self, start: int) -> float:
        """Return the minute at which a clock started at minute `start` is full; infinity if not in the job."""
        goal = self.reading[min(max(start, 0), len(self.reading) - 1)] + 1.0
        after = int(np.searchsorted(self.reading, goal, side="left"))
        return self._crossing(after, float(goal))

    def run(self, start: int, minute: int) -> float:
        """Return by how much it has run from minute `start` to `minute`."""
        last = len(self.reading) - 1
        return float(self.reading[min(max(minute, 0), last)] - self.reading[min(max(start, 0), last)])

    def over_at(self, start: int) -> float:
        """Return the last minute at which it has run by no more than 1; infinity if it never runs over."""
        goal = self.reading[min(max(start, 0), len(self.reading) - 1)] + 1.0
        after = int(np.searchsorted(self.reading, goal, side="right"))
        return self._crossing(after, float(goal))

    def _crossing(self, after: int, goal: float) -> float:
        if after >= len(self.reading):
            return math.inf
        before = float(self.reading[after - 1])
        return after - 1 + (goal - before) / (float(self.reading[after]) - before)


def opening_clock(curve: GapCurve, temperature_c: Floats) -> CureClock | None:
    """Return the clock that opens a gap, from temperatures [°C] at whole minutes; None if it is open at once."""
    points = curve.not_before
    if points is None:
        return None
    stall = points[0][0] if curve.stalls_below_c is None else curve.stalls_below_c
    low = np.minimum(temperature_c[:-1], temperature_c[1:])
    high = np.maximum(temperature_c[:-1], temperature_c[1:])
    rise = np.where(high > low, high - low, 1.0)
    running = np.where(low >= stall, 1.0, np.clip((high - stall) / rise, 0.0, 1.0))
    middle = (high + np.maximum(low, stall)) / 2
    hours = _read_hours(points, middle, slope_below=True, slope_above=False)
    return clock_of(np.where(high >= stall, running / hours, 0.0))


def shutting_clock(curve: GapCurve, temperature_c: Floats) -> CureClock | None:
    """Return the clock that shuts a gap, from temperatures [°C] at whole minutes; None if it never shuts."""
    if curve.not_after is None:
        return None
    middle = (temperature_c[:-1] + temperature_c[1:]) / 2
    return clock_of(1.0 / _read_hours(curve.not_after, middle, slope_below=False, slope_above=True))


def _read_hours(points: Points, temperature_c: Floats, *, slope_below: bool, slope_above: bool) -> Floats:
    """Return hours [h] at each temperature [°C]; beyond an end the end's hours, or its slope where asked."""
    at = np.array([point[0] for point in points])
    logs = np.log([point[1] for point in points])
    read = np.interp(temperature_c, at, logs)
    if len(points) > 1 and slope_below:
        slope = (logs[1] - logs[0]) / (at[1] - at[0])
        read = read + slope * np.minimum(temperature_c - at[0], 0.0)
    if len(points) > 1 and slope_above:
        slope = (logs[-1] - logs[-2]) / (at[-1] - at[-2])
        read = read + slope * np.maximum(temperature_c - at[-1], 0.0)
    hours: Floats = np.exp(read)
    return hours


def clock_of(rate_per_h: Floats) -> CureClock:
    """Return the clock that runs at so many turns an hour in each minute."""
    return CureClock(np.concatenate(([0.0], np.cumsum(rate_per_h / 60.0))))
