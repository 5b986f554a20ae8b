"""Where the weather before a job is not known, its elements start cold: as after the coldest of the first days."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from planner.model import Job
from planner.weather import HourlySeries, JobWeather, make_weather
from planner.weather.start import COLD_START_DAYS, SLOTS_OF_DAY
from planner.weather.sunshine import SunCourse
from planner.weather.surroundings import Surroundings
from tests.jobs import Fields, element, make_job, small_fields, steady_days
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, Station, station

HOUR = timedelta(hours=1)
PIER = element("PIER", thickness_m=0.8)
DECK = element("DECK", thickness_m=0.25, faces=2, faces_to="up")
EARTH = element("EARTH", thickness_m=0.5, exposure="buried")


def job_of(first: date, days: int = 3, elements: tuple[Fields, ...] = (PIER, DECK, EARTH)) -> Job:
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": first, "days": days}
    fields["forecast"] = {"days": steady_days(days, first=first)}
    fields["elements"] = list(elements)
    return make_job(fields)


def course(first: date, days_c: list[float]) -> HourlySeries:
    """Return days of one temperature each, under cloud, and the midnight after them."""
    air_c = np.append(np.repeat(days_c, 24), days_c[-1])
    hours = len(air_c)
    return HourlySeries(
        start=datetime(first.year, first.month, first.day, tzinfo=UTC),
        air_c=air_c,
        humidity_pct=np.full(hours, 80.0),
        rain_mm=np.zeros(hours),
        wind_ms=np.full(hours, 3.0),
        cloud_pct=np.full(hours, 100.0),
    )


FIRST = date(2026, 1, 20)


def begins_c(days_c: list[float], before: int = 0, number: int = 0) -> float:
    """Return an element's surface at the first midnight of a job with that weather, `before` days of it earlier."""
    job = job_of(FIRST, len(days_c) - before)
    series = course(FIRST - timedelta(days=before), days_c)
    return float(make_weather(job, series).surface_c(job.elements[number])[0])


@pytest.mark.parametrize("number", range(3))
def test_the_start_is_as_cold_as_if_the_coldest_day_had_gone_on_before(number: int) -> None:
    cold = begins_c([8.0, 8.0, -1.0, 8.0], number=number)
    told = begins_c([-1.0] * 30 + [8.0, 8.0, -1.0, 8.0], before=30, number=number)
    assert cold == pytest.approx(told, abs=0.2)
    assert cold < begins_c([8.0, 8.0, 8.0, 8.0], number=number) - 3.0


def test_days_after_the_seventh_do_not_count() -> None:
    mild = [8.0] * (COLD_START_DAYS + 1)
    assert begins_c([*mild, -9.0]) == pytest.approx(begins_c([*mild, 8.0]), abs=1e-9)


def test_a_first_day_colder_than_all_others_is_the_start() -> None:
    assert begins_c([-3.0, -3.0, 8.0, 8.0]) == pytest.approx(begins_c([-3.0] * 4), abs=1e-9)


def test_where_a_day_before_is_known_the_days_to_come_change_nothing() -> None:
    assert begins_c([5.0, 8.0, -6.0], before=1) == pytest.approx(begins_c([5.0, 8.0, 8.0], before=1), abs=1e-9)
    assert begins_c([5.0, -4.0, 8.0], before=2) < begins_c([5.0, 5.0, 8.0], before=2)


def test_some_hours_before_are_come_through_from_a_cold_start() -> None:
    job = job_of(FIRST)
    whole = course(FIRST - timedelta(days=1), [8.0, 8.0, -2.0, 8.0])
    half = replace(
        whole,
        start=whole.start + 12 * HOUR,
        **{name: getattr(whole, name)[12:] for name in ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")},
    )
    none = course(FIRST, [8.0, -2.0, 8.0])
    at_c = [make_weather(job, series).surface_c(job.elements[0])[0] for series in (none, half, whole)]
    assert at_c[0] < at_c[1] < at_c[2]


def real(year: Station, first: date, days_before: int) -> tuple[Job, JobWeather]:
    """Return a job of ten days in a station's real weather, read at its own clock, taken for that of the site."""
    job = job_of(first, 10, (PIER,))
    begin = datetime(first.year, first.month, first.day) - timedelta(days=days_before)  # noqa: DTZ001
    hours = [year.at(begin + hour * HOUR) for hour in range((days_before + 10) * 24 + 1)]
    series = HourlySeries(
        start=job.time.epoch - days_before * 24 * HOUR,
        rain_mm=np.zeros(len(hours)),
        **{
            name: np.array([getattr(one, name) for one in hours])
            for name in ("air_c", "humidity_pct", "wind_ms", "cloud_pct")
        },
    )
    return job, make_weather(job, series)


def from_its_first_day(weather: JobWeather) -> JobWeather:
    """Return the weather with a copy of its first day before it, from which elements begin."""
    around, day = weather.around, slice(SLOTS_OF_DAY)
    assert around.sun is not None
    copy = Surroundings(
        air_c=around.air_c[day],
        dew_c=around.dew_c[day],
        cloud_pct=around.cloud_pct[day],
        wind_ms=around.wind_ms[day],
        night=around.night[day],
        sun=SunCourse(around.sun.east[day], around.sun.north[day], around.sun.up[day]),
    )
    return replace(weather, before=copy, _known={})


@pytest.mark.parametrize("year_file", [GREENSBORO, SAND_POINT])
def test_a_cold_start_is_mostly_colder_than_the_truth_in_real_years(year_file: str) -> None:
    """A pier at noon of its first day, against the real 30 days before; from the first day alone it is less sure."""
    year = station(year_file)
    safe: dict[str, list[bool]] = {"cold start": [], "first day": []}
    for first in (date(2026, 2, 3) + timedelta(days=9 * step) for step in range(34)):
        job, known = real(year, first, 30)
        pier, noon = job.elements[0], SLOTS_OF_DAY // 2
        _, guessed = real(year, first, 0)
        for name, weather in (("cold start", guessed), ("first day", from_its_first_day(guessed))):
            safe[name].append(bool(weather.surface_c(pier)[noon] <= known.surface_c(pier)[noon] + 0.2))
    assert np.mean(safe["cold start"]) >= 0.85
    assert np.mean(safe["first day"]) <= 0.8
