"""Elements come through the weather before the job's first day, where the forecast tells of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from planner.jobfile.load import forecast_notes
from planner.model import Job
from planner.weather import HourlySeries, daily_to_hourly, make_weather
from planner.weather.before import DAYS_BEFORE
from planner.weather.start import SLOTS_OF_DAY
from tests.jobs import element, make_job, small_fields, steady_days

FIRST = date(2026, 1, 20)
MIDNIGHT = datetime(2026, 1, 20, tzinfo=UTC)
HOUR = timedelta(hours=1)
NOTE = "No forecast for the day before the first day"
EARLIER = 14
"""Days by which the run that the others are held against starts earlier."""

KINDS = [
    element("SLAB", thickness_m=0.25, faces=2, faces_to="up"),
    element("PIER", thickness_m=0.8),
    element("EARTH", thickness_m=0.5, exposure="buried"),
    element("POST", thickness_m=0.01, material="steel"),
]


def job_of(days: int = 2, first: date = FIRST, elements: Any = KINDS) -> Job:
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": first, "days": days}
    fields["forecast"] = {"days": steady_days(days, first=first)}
    fields["elements"] = elements
    return make_job(fields)


def series_of(days_before: float, air_before_c: float = -2.0, days: int = 2) -> HourlySeries:
    """Return cold days before the first, then days at 8 °C."""
    count = round(days_before * 24)
    hours = count + days * 24 + 1
    return HourlySeries(
        start=MIDNIGHT - count * HOUR,
        air_c=np.where(np.arange(hours) < count, air_before_c, 8.0),
        humidity_pct=np.full(hours, 80.0),
        rain_mm=np.zeros(hours),
        wind_ms=np.full(hours, 3.0),
        cloud_pct=np.full(hours, 100.0),
    )


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_cold_days_before_a_mild_first_day_are_still_in_the_elements(number: int) -> None:
    series, job = series_of(15), job_of()
    shown = make_weather(job, series).surface_c(job.elements[number])
    longer = job_of(days=EARLIER + 2, first=FIRST - timedelta(days=EARLIER))
    whole = make_weather(longer, series).surface_c(longer.elements[number])[EARLIER * SLOTS_OF_DAY :]
    assert shown == pytest.approx(whole, abs=0.2)


def test_a_thick_pier_is_near_zero_at_the_first_midnight_after_frost() -> None:
    job = job_of()
    pier = job.elements[1]
    assert make_weather(job, series_of(15)).surface_c(pier)[0] < 0.5
    assert make_weather(job, series_of(0)).surface_c(pier)[0] > 5.0


def test_no_more_than_thirty_days_are_run_in_on() -> None:
    before = make_weather(job_of(), series_of(40)).before
    assert before is not None
    assert len(before.air_c) == DAYS_BEFORE * SLOTS_OF_DAY


def test_hours_before_a_hole_do_not_count() -> None:
    series = series_of(10)
    series.air_c[100] = np.nan
    before = make_weather(job_of(), series).before
    assert before is not None
    assert len(before.air_c) == (240 - 101) * 4
    assert np.isfinite(before.air_c).all()


def test_the_sun_and_the_night_before_are_those_of_their_own_hours() -> None:
    series, job = series_of(3), job_of()
    earlier = make_weather(job_of(days=5, first=FIRST - timedelta(days=3)), series)
    before = make_weather(job, series).before
    assert before is not None
    assert before.night[:, 0] == pytest.approx(earlier.night[: 3 * SLOTS_OF_DAY])
    assert before.sun is not None
    assert earlier.around.sun is not None
    assert before.sun.up == pytest.approx(earlier.around.sun.up[: 3 * SLOTS_OF_DAY])


def test_a_change_alters_only_what_comes_after_it() -> None:
    series, job = series_of(5), job_of()
    changed = series.air_c.copy()
    changed[5 * 24 + 10 :] += 6.0
    plain, warmer = (make_weather(job, one) for one in (series, replace(series, air_c=changed)))
    for one in job.elements:
        difference = warmer.surface_c(one) - plain.surface_c(one)
        assert difference[: 9 * 4 + 1] == pytest.approx(0.0, abs=1e-9)
        assert difference[-1] > 0.3 or one.surface_kind.exposure == "buried"


def test_typed_days_before_the_first_count_as_well() -> None:
    job = job_of()
    typed = [day for day in job.forecast.days if day.date >= FIRST]
    cold = [
        typed[0].model_copy(update={"date": FIRST - timedelta(days=ago), "low_c": -5.0, "high_c": -1.0})
        for ago in range(15, 0, -1)
    ]
    series = daily_to_hourly([*cold, *typed], job.site, job.time)
    assert series.start == MIDNIGHT - 15 * 24 * HOUR
    pier = job.elements[1]
    without = make_weather(job, daily_to_hourly(typed, job.site, job.time)).surface_c(pier)
    assert make_weather(job, series).surface_c(pier)[0] < without[0] - 5.0


def test_typed_days_beyond_a_gap_do_not_count() -> None:
    job = job_of()
    typed = [day for day in job.forecast.days if day.date >= FIRST]
    lone = typed[0].model_copy(update={"date": FIRST - timedelta(days=2)})
    assert daily_to_hourly([lone, *typed], job.site, job.time).start == job.time.epoch


def test_members_begin_from_the_nominal_weather_and_what_was_before_it() -> None:
    job = job_of()
    weather = make_weather(job, series_of(15))
    for one in job.elements:
        same, warm = weather.with_air(np.stack([weather.air_c, weather.air_c + 3.0])).surface_c(one)
        assert same == pytest.approx(weather.surface_c(one), abs=1e-9)
        assert (warm >= same - 1e-9).all()
        assert one.surface_kind.material == "steel" or warm[0] - same[0] < 1.5


@pytest.mark.parametrize(
    ("days_before", "elements", "said"),
    [(0, KINDS, True), (0.5, KINDS, True), (1, KINDS, False), (0, [element("THIN", thickness_m=0.2)], False)],
)
def test_the_assumption_is_said_where_a_thick_element_needs_it(days_before: float, elements: Any, said: bool) -> None:
    job = job_of(elements=elements)
    notes = forecast_notes(job, make_weather(job, series_of(days_before)))
    assert any(note.found.startswith(NOTE) for note in notes) is said
