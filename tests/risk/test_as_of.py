"""Risk from now on: what is behind is settled, the weather that has been is known, and only the rest has chances."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from planner.audit.check import Auditor
from planner.model import Job, Plan
from planner.risk.as_of import as_of
from planner.risk.risk import Risk, risk
from planner.weather.day_shape import daily_to_hourly
from planner.weather.ensemble import make_ensemble
from planner.weather.job_weather import make_weather
from planner.weather.series import HourlySeries
from tests import jobs
from tests.risk.test_waiting import on_air, warm_plan

PRIMED, COATED = 28, 28 + 8
"""Monday 07:00 and 09:00: the primer's start and finish in `warm_plan`."""


@pytest.fixture
def job() -> Job:
    return on_air(jobs.small_fields())


def series_of(job: Job) -> HourlySeries:
    return daily_to_hourly(job.forecast.days, job.site, job.time)


def found_at(job: Job, now: int | None) -> Risk:
    series = series_of(job)
    weather = make_weather(job, series)
    stands = as_of(job, Auditor(job, weather), warm_plan(job), now)
    members = make_ensemble(series, 20, 1, job.time.zone, known_until=stands.known_until(job))
    return risk(job, weather, stands.plan, members, stands.begun)


def coat_start(plan: Plan) -> int:
    return next(one.start for one in plan.placements if one.operation == "E1/coat")


def test_gaps_that_are_behind_are_listed_no_more(job: Job) -> None:
    coat = coat_start(warm_plan(job))
    whole = found_at(job, None)
    assert (len(whole.gaps), whole.settled) == (2, 0)
    assert found_at(job, coat - 1).settled == 0
    later = found_at(job, coat + 1)
    assert [one.key for one in later.gaps] == ["E1/coat > E1/backfill"]
    assert later.settled == 1
    over = found_at(job, job.time.horizon)
    assert (over.gaps, over.settled) == ((), 2)
    assert over.all_planned.share == over.all_waiting.share == 1.0
    assert over.finish.p50 == over.finish.p80 == over.planned_finish


def test_weather_that_has_been_is_as_forecast_in_every_member(job: Job) -> None:
    series = replace(series_of(job), issued=series_of(job).start)
    now = series.start + timedelta(hours=60)
    made = make_ensemble(series, 30, 1, job.time.zone, known_until=now)
    spread = made.air_c.std(axis=0)
    assert np.abs(made.air_c[:, :60] - series.air_c[:60]).max() == 0.0
    assert spread[60:].min() > 0.3
    humid = np.array([one.humidity_pct for one in made.members])
    assert np.abs(humid[:, :60] - series.humidity_pct[:60]).max() == 0.0


def test_without_the_time_of_issue_errors_grow_from_now(job: Job) -> None:
    series = series_of(job)
    made = make_ensemble(series, 5, 1, job.time.zone, known_until=series.start + timedelta(hours=60))
    assert "growing from now" in made.words
