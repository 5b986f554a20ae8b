"""The shape of a day at one site, fitted to hourly readings taken there (a year's, or a few weeks')."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import OutOfRangeError
from planner.model import Site
from planner.weather.day_shape import AIR_150_CM, SHORTEST_NIGHT_H, Lags, day_c, day_light, night_c
from planner.weather.series import HOUR, Floats, HourlySeries

LEAST_DAYS = 7
_FULL_DAY_HOURS = 23
"""A day with fewer readings may have missed its low or its high; the spring change leaves 23."""

_BOUNDS = {"high_h": (0.0, 6.0), "decay": (0.2, 10.0), "low_h": (-3.0, 4.0)}
_FIRST_STEP, _LAST_STEP = 0.8, 0.002


@dataclass(frozen=True)
class DayFit:
    """Constants fitted to readings, and how far the hours made with them and with the published ones are out.

    rmse_k, published_rmse_k [K]: root mean square error over `hours` hours of `days` days.
    """

    lags: Lags
    rmse_k: float
    published_rmse_k: float
    hours: int
    days: int


@dataclass(frozen=True)
class _Hours:
    """What the shape of each measured hour depends on, as arrays of one length.

    Row 0 is of the hour's own day, row 1 of the day before: which of the two an hour belongs to depends on low_h.
    """

    air_c: Floats
    since_rise_h: Floats
    length_h: Floats
    night_h: Floats
    low_c: Floats
    high_c: Floats
    next_low_c: Floats


def fit_day_shape(readings: HourlySeries, site: Site) -> DayFit:
    """Return the constants of Parton & Logan 1981 that fit `readings` at `site` best, by least squares.

    Each whole local day's own low and high are taken for its typed ones, as a forecast's would be. Which side of
    sunrise an hour is on jumps as the constants move, so the sum of squares has steps and no derivative to follow:
    a search along the axes and their diagonals with shrinking steps is used, from the published constants, and so
    the result is never worse than they are. OutOfRangeError for fewer than 7 whole days in a row.
    """
    hours, days = _prepared(readings, site)
    found = _searched(lambda lags: _rmse_k(hours, lags), AIR_150_CM)
    return DayFit(found, _rmse_k(hours, found), _rmse_k(hours, AIR_150_CM), len(hours.air_c), days)


def _searched(error: Callable[[Lags], float], start: Lags) -> Lags:
    """Return the constants at which `error` is least among steps of ±0.002 in one or in two of them."""
    best, least, step = start, error(start), _FIRST_STEP
    while step >= _LAST_STEP:
        tried = [(error(lags), index, lags) for index, lags in enumerate(_around(best, step))]
        value, _, lags = min(tried)
        if value < least:
            best, least = lags, value
        else:
            step /= 2.0
    return best


def _around(lags: Lags, step: float) -> list[Lags]:
    moves = [
        (high, decay, low)
        for high in (-1, 0, 1)
        for decay in (-1, 0, 1)
        for low in (-1, 0, 1)
        if 1 <= abs(high) + abs(decay) + abs(low) <= 2
    ]
    return [
        replace(
            lags,
            **{name: _held(name, getattr(lags, name) + way * step) for name, way in zip(_BOUNDS, move, strict=True)},
        )
        for move in moves
    ]


def _held(name: str, value: float) -> float:
    lowest, highest = _BOUNDS[name]
    return min(max(value, lowest), highest)


def _rmse_k(hours: _Hours, lags: Lags) -> float:
    return float(np.sqrt(((_shaped_c(hours, lags) - hours.air_c) ** 2).mean()))


def _shaped_c(hours: _Hours, lags: Lags) -> Floats:
    """Return the air temperature [°C] of each hour by the shape of the day it belongs to."""
    row = (hours.since_rise_h[0] < lags.low_h).astype(int)
    at = np.arange(len(row))
    since, length, night, low, high, next_low = (
        values[row, at]
        for values in (
            hours.since_rise_h,
            hours.length_h,
            hours.night_h,
            hours.low_c,
            hours.high_c,
            hours.next_low_c,
        )
    )
    by_day = day_c(since, low, high, length, lags)
    sunset_c = day_c(length, low, high, length, lags)
    by_night = night_c(np.maximum(since - length, 0.0), sunset_c, next_low, night, lags)
    return np.asarray(np.where(since <= length, by_day, by_night), dtype=np.float64)


@dataclass(frozen=True)
class _Day:
    """A whole local day of readings: hours after the series' start, and what was read."""

    at_h: Floats
    air_c: Floats
    rise_h: float
    set_h: float


def _prepared(readings: HourlySeries, site: Site) -> tuple[_Hours, int]:
    days = _whole_days(readings, site)
    used = [day for day in sorted(days) if all(day + timedelta(days=away) in days for away in (-1, 1))]
    if len(used) < LEAST_DAYS - 2:
        raise OutOfRangeError(
            f"a day's shape needs readings of at least {LEAST_DAYS} whole days in a row; {len(days)} whole days found"
        )
    rows = [_rows(days, day) for day in used]
    joined = [np.concatenate([row[n] for row in rows], axis=-1) for n in range(7)]
    return _Hours(*joined), len(used)


def _whole_days(readings: HourlySeries, site: Site) -> dict[date, _Day]:
    zone = ZoneInfo(site.zone)
    by_day: dict[date, list[int]] = {}
    for index in np.flatnonzero(~np.isnan(readings.air_c)):
        by_day.setdefault(readings.hour(int(index)).astimezone(zone).date(), []).append(int(index))
    days = {}
    for day, indexes in by_day.items():
        if len(indexes) >= _FULL_DAY_HOURS:
            rises, sets = ((moment - readings.start) / HOUR for moment in day_light(site, day))
            days[day] = _Day(np.array(indexes, dtype=float), readings.air_c[indexes], rises, sets)
    return days


def _rows(days: dict[date, _Day], day: date) -> list[Floats]:
    """Return the fields of `_Hours` for the hours of one day."""
    before, own, after = (days[day + timedelta(days=away)] for away in (-1, 0, 1))
    pairs = [(own, after), (before, own)]
    count = len(own.at_h)

    def rows(values: list[float]) -> Floats:
        return np.repeat(np.array(values)[:, None], count, axis=1)

    return [
        own.air_c,
        np.array([own.at_h - this.rise_h for this, _ in pairs]),
        rows([this.set_h - this.rise_h for this, _ in pairs]),
        rows([max(following.rise_h - this.set_h, SHORTEST_NIGHT_H) for this, following in pairs]),
        rows([float(this.air_c.min()) for this, _ in pairs]),
        rows([float(this.air_c.max()) for this, _ in pairs]),
        rows([float(following.air_c.min()) for _, following in pairs]),
    ]
