"""The two nights on which the clocks change: a closure from 22:00 to 05:00 lasts 6 h in spring, 8 h in autumn.

One joint needs its lane shut for one operation of the whole time between the cones; both nights are a Saturday's,
day 1 of a job of three days in Europe/London::

    30 March 2024    22:00 GMT --45 min--[ 4 h 45 min of work ]--30 min-- 05:00 BST
    26 October 2024  22:00 BST --45 min--[ 6 h 45 min of work ]--30 min-- 05:00 GMT
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

import pytest

from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.audit.terms import plan_terms
from planner.findings import Finding
from planner.model import Job, Plan
from tests import jobs
from tests.audit.feature_job import plan_of, visit, weather_of

SPRING, AUTUMN = date(2024, 3, 29), date(2024, 10, 25)
NIGHTS = [(SPRING, 4.75), (AUTUMN, 6.75)]
OPENS = 96 + 22 * 4 + 3
"""Slot at which work may start: 22:45 on the evening of day 1, before either change."""


def night_job(first_day: date, hours: float, **changes: Any) -> Job:
    evening = datetime.combine(first_day + timedelta(days=1), time(22))
    nights = {"name": "Night", "rule": "FREQ=DAILY", "start": "22:00", "finish": "05:00"}
    fields = {
        **jobs.road_fields(),
        "job": {"name": "Night", "first_day": first_day, "days": 3},
        "gangs": [jobs.gang(shifts=[nights])],
        "closures": [{"id": "C1", "lanes": ["L1"], "start": evening, "finish": evening + timedelta(hours=7)}],
        "methods": [jobs.method(jobs.operation("saw", hours, lanes_shut=True))],
    }
    return jobs.make_job({**fields, **changes})


def broken(job: Job, plan: Plan) -> tuple[Finding, ...]:
    return audit(job, weather_of(job, {}), plan)


@pytest.mark.parametrize(("first_day", "hours"), NIGHTS)
def test_the_closure_holds_what_the_night_really_lasts(first_day: date, hours: float) -> None:
    job = night_job(first_day, hours)
    assert broken(job, plan_of(visit("E1/saw", "G1", OPENS, hours, "C1"))) == ()


@pytest.mark.parametrize(("first_day", "hours"), NIGHTS)
@pytest.mark.parametrize("shift", [-1, 1])
def test_one_slot_to_either_side_is_outside(first_day: date, hours: float, shift: int) -> None:
    job = night_job(first_day, hours)
    found = broken(job, plan_of(visit("E1/saw", "G1", OPENS + shift, hours, "C1")))
    assert {finding.code for finding in found} == {"outside-closure"}


@pytest.mark.parametrize(("first_day", "hours"), NIGHTS)
def test_one_slot_more_is_outside(first_day: date, hours: float) -> None:
    job = night_job(first_day, hours + 0.25)
    found = broken(job, plan_of(visit("E1/saw", "G1", OPENS, hours + 0.25, "C1")))
    assert {finding.code for finding in found} == {"outside-closure"}


@pytest.mark.parametrize(("first_day", "hours"), [(SPRING, 6.0), (AUTUMN, 8.0)])
def test_the_shift_lasts_what_the_night_really_lasts(first_day: date, hours: float) -> None:
    for length, codes in ((hours, set()), (hours + 0.25, {"outside-shift"})):
        job = night_job(first_day, length, methods=[jobs.method(jobs.operation("saw", length))])
        found = broken(job, plan_of(visit("E1/saw", "G1", 96 + 22 * 4, length)))
        assert {finding.code for finding in found} == codes


def test_a_gap_runs_in_elapsed_time_and_is_told_in_local_time() -> None:
    gap = {"after": "saw", "before": "seal", "not_before_h": 3.0}
    methods = [jobs.method(jobs.operation("saw", 1), jobs.operation("seal", 1), gaps=[gap])]
    job = night_job(SPRING, 1, methods=methods)
    first = visit("E1/saw", "G1", 96 + 22 * 4, 1)
    found = broken(job, plan_of(first, visit("E1/seal", "G1", first.finish + 11, 1)))
    assert [finding.code for finding in found] == ["gap-early"]
    assert "Sun 31 Mar 03:00" in found[0].required
    assert "Sun 31 Mar 02:45" in found[0].found
    plan = plan_of(first, visit("E1/seal", "G1", first.finish + 12, 1))
    assert broken(job, plan) == ()
    assert gap_rows(job, weather_of(job, {}), plan)[0].opens == first.finish + 12


def test_the_repeated_hour_is_told_apart() -> None:
    job = night_job(AUTUMN, 1)
    # Day 2 begins at slot 192; its hour from 01:00 comes twice, as slots 196-199 and 200-203.
    for slot, words in ((197, "Sun 27 Oct 01:15 BST"), (201, "Sun 27 Oct 01:15 GMT"), (205, "Sun 27 Oct 02:15 to")):
        found = broken(job, plan_of(visit("E1/saw", "G1", slot, 1)))
        assert [finding.code for finding in found] == ["closure-missing"]
        assert words.removesuffix(" to") in found[0].found


def test_a_finish_counts_elapsed_days() -> None:
    job = night_job(SPRING, 1)
    plan = plan_of(visit("E1/saw", "G1", OPENS, 1, "C1"))
    terms = plan_terms(job, weather_of(job, {}), plan)
    assert terms.finish_days == (OPENS + 4) / 96
    assert terms.calendar_days == 2
