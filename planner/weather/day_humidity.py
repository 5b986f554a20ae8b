"""Humidity by the hour on a day of which one mean, or none, is typed: the dew point stays, the humidity swings."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from planner.model import ForecastDay
from planner.weather.dew import dew_point_c, humidity_pct
from planner.weather.series import Floats

BELOW_LOW_K = 1.0
"""How far the dew point lies below the day's low where no humidity is typed. FAO Irrigation and Drainage Paper 56
(Allen et al. 1998), eq. 48, takes the low itself, and some 2 K less at arid sites (from memory); half way between."""

_HALVINGS = 50


def hourly_humidity_pct(air_c: Floats, of_hour: Sequence[ForecastDay]) -> Floats:
    """Return the relative humidity [%] for the hourly `air_c` [°C]; `of_hour` is the day that each hour belongs to.

    The dew point stays the same through a day's hours. With a typed humidity it is the one by which those hours have
    that humidity on the mean; else it lies `BELOW_LOW_K` below the day's low. Hours colder than it have 100 %.
    """
    days = {day.date: day for day in of_hour}
    dates = [day.date for day in of_hour]
    dew_c = _dew_by_day(air_c, dates, days)
    return humidity_pct(air_c, np.array([dew_c[on] for on in dates]))


def assumed_words(days: Sequence[ForecastDay]) -> tuple[str, ...]:
    """Return a sentence on what is taken for humidity, wind and cloud on days that do not give them, or none."""
    wind, cloud = (ForecastDay.model_fields[name].default for name in ("wind_ms", "cloud_pct"))
    taken = (
        (any(day.humidity_pct is None for day in days), f"dew point {BELOW_LOW_K:g} K below the day's low"),
        (any("wind_ms" not in day.model_fields_set for day in days), f"wind {wind:g} m/s"),
        (any("cloud_pct" not in day.model_fields_set for day in days), f"cloud {cloud:g} %"),
    )
    words = [text for missing, text in taken if missing]
    return (f"Taken where not typed: {', '.join(words)}.",) if words else ()


def _dew_by_day(air_c: Floats, dates: list[date], days: dict[date, ForecastDay]) -> dict[date, float]:
    """Return each day's dew point [°C]. The last hour is the midnight that ends the last day, and is in no mean."""
    of_date: dict[date, list[float]] = {}
    for on, air in zip(dates[:-1], air_c[:-1], strict=True):
        of_date.setdefault(on, []).append(float(air))
    return {on: _day_dew_c(days[on], np.array(hours)) for on, hours in of_date.items()}


def _day_dew_c(day: ForecastDay, air_c: Floats) -> float:
    """Return one day's dew point [°C]; sought by halving, since the mean humidity only rises with it."""
    if day.humidity_pct is None:
        return day.low_c - BELOW_LOW_K
    dry_c, moist_c = float(dew_point_c(air_c.min(), 0.0)), float(air_c.max())
    for _ in range(_HALVINGS):
        middle_c = (dry_c + moist_c) / 2.0
        if humidity_pct(air_c, middle_c).mean() < day.humidity_pct:
            dry_c = middle_c
        else:
            moist_c = middle_c
    return moist_c
