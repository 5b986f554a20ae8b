"""The weather before the job's first day: what its elements have come through when the job begins."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from planner.calendars.sun import light_intervals
from planner.model import Job, Site
from planner.units import SLOT, SLOTS_PER_HOUR, SiteTime
from planner.weather.dew import dew_point_c
from planner.weather.series import HOUR, Floats, HourlySeries
from planner.weather.start import SLOTS_OF_DAY
from planner.weather.sunshine import SunCourse, sun_course
from planner.weather.surroundings import Surroundings

DAYS_BEFORE = 30
"""No more days than these are run in on: a slow 1.2 m of concrete has forgotten what lies before them."""

THICK_M = 0.2
"""Concrete deeper than this remembers more than the day before (its penetration depth for a daily wave is 0.15 m)."""

_NOTE = (
    "No forecast for the day before the first day: elements start as cold as if the coldest day of the forecast's "
    "first week had gone on before. Give the days before for thick elements."
)


def weather_before(site: Site, time: SiteTime, series: HourlySeries) -> Surroundings | None:
    """Return what `series` tells of the boundaries before slot 0, up to 30 days, each array of shape (boundaries, 1).

    Only hours without a hole between them and slot 0 count. None where there are none.
    """
    begin_h = (time.epoch - series.start) / HOUR
    opens_h = _first_whole_hour(series, begin_h)
    count = min(int((begin_h - opens_h) * SLOTS_PER_HOUR + 1e-9), DAYS_BEFORE * SLOTS_OF_DAY)
    if count <= 0:
        return None
    at_h = begin_h + np.arange(-count, 0) / SLOTS_PER_HOUR
    given_h = np.arange(series.hours)
    air_c, humidity_pct, wind_ms, cloud_pct = (
        np.interp(at_h, given_h, values)
        for values in (series.air_c, series.humidity_pct, series.wind_ms, series.cloud_pct)
    )
    days = -(-count * SLOT // timedelta(days=1)) + 1
    earlier = SiteTime(time.first_day - timedelta(days=days), days, time.zone)
    last = slice(earlier.horizon - count, earlier.horizon)
    sun = sun_course(site, earlier)
    return Surroundings(
        air_c=air_c[:, None],
        dew_c=dew_point_c(air_c, humidity_pct)[:, None],
        cloud_pct=cloud_pct[:, None],
        wind_ms=wind_ms[:, None],
        night=night_of(site, earlier)[last, None],
        sun=SunCourse(sun.east[last], sun.north[last], sun.up[last]),
    )


def _first_whole_hour(series: HourlySeries, begin_h: float) -> int:
    """Return the first hour from which on, up to the job's begin, no value that surfaces depend on is missing."""
    columns = (series.air_c, series.humidity_pct, series.wind_ms, series.cloud_pct)
    missing = np.flatnonzero(np.isnan(np.stack(columns)[:, : int(begin_h) + 1]).any(axis=0))
    return int(missing[-1]) + 1 if missing.size else 0


def night_of(site: Site, time: SiteTime) -> Floats:
    """Return 1 where the sun is down, else 0, at the boundaries of `time`."""
    night = np.ones(time.horizon + 1)
    for light in light_intervals(site, time, "daylight"):
        night[light.start : light.finish + 1] = 0.0
    return night


def notes_on_start(job: Job, before: Surroundings | None) -> tuple[str, ...]:
    """Return what thick elements had to be taken to start from, where less than a day before the job is known."""
    known = before is not None and len(before.air_c) >= SLOTS_OF_DAY
    thick = any(one.thickness_m > THICK_M and one.surface_kind.material == "concrete" for one in job.elements)
    return (_NOTE,) if thick and not known else ()
