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
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from planner.model import GapCurve

Floats = NDArray[np.float64]
Points = tuple[tuple[float, float], ...]
_DAY_MIN = 24 * 60


@dataclass(frozen=True, eq=False)
class CureClock:
    """A clock from temperatures [°C] at each whole minute of the job; read only on the days that somebody asks about.

    rates: turns an hour in each minute from the temperatures at its ends.
    """

    temperature_c: Floats
    rates: Callable[[Floats], Floats]
    _days: dict[int, Floats] = field(default_factory=dict, repr=False)

    @property
    def last(self) -> int:
        """The job's last minute."""
        return len(self.temperature_c) - 1

    def full_at(self, start: int) -> float:
        """Return the minute at which a clock started at minute `start` is full; infinity if not in the job."""
        return self._crossing(start, "left")

    def over_at(self, start: int) -> float:
        """Return the last minute at which it has run by no more than 1; infinity if it never runs over."""
        return self._crossing(start, "right")

    def run(self, start: int, minute: int) -> float:
        """Return by how much it has run from minute `start` to `minute`."""
        begin, end = (min(max(one, 0), self.last) for one in (start, minute))
        if end < begin:
            return -self.run(end, begin)
        days = range(begin // _DAY_MIN, -(-end // _DAY_MIN))
        return sum(self._within(day, begin - day * _DAY_MIN, end - day * _DAY_MIN) for day in days)

    def _within(self, day: int, begin: int, end: int) -> float:
        reading = self._day(day)
        return float(reading[min(end, len(reading) - 1)] - reading[max(begin, 0)])

    def _crossing(self, start: int, side: Literal["left", "right"]) -> float:
        """Return the minute at which it has run by 1 since `start`: the first, or the last before it runs over."""
        begin = max(start, 0)
        if begin >= self.last:
            return math.inf
        day, minute = divmod(begin, _DAY_MIN)
        left = 1.0 + float(self._day(day)[minute])
        while day * _DAY_MIN < self.last:
            reading = self._day(day)
            after = int(np.searchsorted(reading, left, side=side))
            if after < len(reading):
                before = float(reading[after - 1])
                return day * _DAY_MIN + after - 1 + (left - before) / (float(reading[after]) - before)
            left -= float(reading[-1])
            day += 1
        return math.inf

    def _day(self, day: int) -> Floats:
        """Return its reading at each minute from the begin of a day on, where it is 0, to the end; never falls."""
        if day not in self._days:
            here = self.temperature_c[day * _DAY_MIN : (day + 1) * _DAY_MIN + 1]
            self._days[day] = np.concatenate(([0.0], np.cumsum(self.rates(here) / 60.0)))
        return self._days[day]


def opening_clock(curve: GapCurve, temperature_c: Floats) -> CureClock | None:
    """Return the clock that opens a gap, from temperatures [°C] at whole minutes; None if it is open at once."""
    points, stalls_below_c = curve.not_before, curve.stalls_below_c
    return None if points is None else CureClock(temperature_c, partial(_opening_rates, points, stalls_below_c))


def shutting_clock(curve: GapCurve, temperature_c: Floats) -> CureClock | None:
    """Return the clock that shuts a gap, from temperatures [°C] at whole minutes; None if it never shuts."""
    return None if curve.not_after is None else CureClock(temperature_c, partial(_shutting_rates, curve.not_after))


def _opening_rates(points: Points, stalls_below_c: float | None, temperature_c: Floats) -> Floats:
    stall = points[0][0] if stalls_below_c is None else stalls_below_c
    low = np.minimum(temperature_c[:-1], temperature_c[1:])
    high = np.maximum(temperature_c[:-1], temperature_c[1:])
    rise = np.where(high > low, high - low, 1.0)
    running = np.where(low >= stall, 1.0, np.clip((high - stall) / rise, 0.0, 1.0))
    middle = (high + np.maximum(low, stall)) / 2
    hours = _read_hours(points, middle, slope_below=True, slope_above=False)
    return np.where(high >= stall, running / hours, 0.0)


def _shutting_rates(points: Points, temperature_c: Floats) -> Floats:
    middle = (temperature_c[:-1] + temperature_c[1:]) / 2
    return 1.0 / _read_hours(points, middle, slope_below=False, slope_above=True)


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
