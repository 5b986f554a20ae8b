"""Days inside an ensemble member: their lows and highs keep their order, whatever the errors."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from planner.weather.series import HOUR, Floats, HourlySeries


@dataclass(frozen=True)
class Turns:
    """Hours at which the forecast's local days have their low and their high, in pairs (low, high), by index."""

    pairs: tuple[tuple[int, int], ...]

    @property
    def points(self) -> tuple[int, ...]:
        """All of them, in order of time."""
        return tuple(sorted({index for pair in self.pairs for index in pair}))


def day_turns(series: HourlySeries, zone: ZoneInfo) -> Turns:
    """Return the hour of each local day's low and high; days without a swing have none."""
    days = day_numbers(series, zone)
    pairs = []
    for day in np.unique(days):
        at = np.flatnonzero((days == day) & ~np.isnan(series.air_c))
        if at.size and np.ptp(series.air_c[at]) > 0.0:
            pairs.append((int(at[series.air_c[at].argmin()]), int(at[series.air_c[at].argmax()])))
    return Turns(tuple(pairs))


def day_numbers(series: HourlySeries, zone: ZoneInfo) -> NDArray[np.int64]:
    """Return the number of the local day that each hour is in, from 0."""
    first = series.start.astimezone(zone).date()
    return np.array(
        [
            ((series.start + n * HOUR).astimezone(zone).date() - first) // timedelta(days=1)
            for n in range(series.hours)
        ]
    )


def in_order(
    air_c: Floats, forecast_c: Floats, turns: Turns, least_swing: float, known: NDArray[np.bool_] | None = None
) -> Floats:
    """Return members [members × hours] in which no day's low and high have changed places.

    Each member's high lies above its low of the same day by at least `least_swing` of the forecast's difference.
    What lacks is added half at the high and half taken off at the low, in ramps that end at the turns on either
    side, so that neither the other turns nor the hours' smooth course are spoilt. known: hours that have been, and
    are not touched; the turn that has not been then takes the whole.
    """
    known = np.zeros(air_c.shape[1], dtype=bool) if known is None else known
    points = turns.points
    if len(points) < 2:
        return air_c
    lift = np.zeros((len(air_c), len(points)))
    place = {index: number for number, index in enumerate(points)}
    for low, high in turns.pairs:
        wanted = least_swing * (forecast_c[high] - forecast_c[low])
        lacking = np.maximum(wanted - (air_c[:, high] - air_c[:, low]), 0.0)
        upper = 0.0 if known[high] else 1.0 if known[low] else 0.5
        lift[:, place[high]] = upper * lacking
        lift[:, place[low]] = (upper - 1.0) * lacking
    return air_c + np.where(known, 0.0, _ramps(lift, points, air_c.shape[1]))


def _ramps(lift: Floats, points: tuple[int, ...], hours: int) -> Floats:
    """Return what is given at the turns, straight between them and level before the first and after the last."""
    added = np.zeros((len(lift), hours))
    for number, (left, right) in enumerate(pairwise(points)):
        share = np.linspace(0.0, 1.0, right - left + 1)
        added[:, left : right + 1] = lift[:, [number]] * (1.0 - share) + lift[:, [number + 1]] * share
    added[:, : points[0]] = lift[:, [0]]
    added[:, points[-1] :] = lift[:, [-1]]
    return added
