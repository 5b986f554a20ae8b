"""What a plan comes to, counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from planner.audit.check import audit
from planner.audit.terms import CrewDay, PlanTerms, plan_terms
from planner.model import Aim, Plan, PlanStatus
from tests.audit.feature_job import (
    at,
    feature_fields,
    feature_job,
    feature_plan,
    feature_weather,
    plan_of,
    put,
    visit,
)

CLEAN = feature_plan()


def terms(plan: Plan = CLEAN) -> PlanTerms:
    job = feature_job()
    return plan_terms(job, feature_weather(job), plan)


def test_the_clean_plan() -> None:
    found = terms()
    # Finish on Saturday at noon. G1 on five weekdays at 800, one night of G2 at 1,000, one day of G3 at 900.
    assert found.finish_days == 5.5
    assert found.calendar_days == 6
    assert found.prelims == 600.0
    assert (found.closures, found.closure_cost) == (1, 2000.0)
    assert len(found.crew_days) == 7
    assert found.crew_cost == 5 * 800 + 1000 + 900
    assert found.cost == 600 + 2000 + 5900


def test_a_night_is_one_crew_day_named_by_its_evening() -> None:
    nights = [one for one in terms().crew_days if one.gang == "G2"]
    assert nights == [CrewDay("G2", date(2024, 6, 3), "Night")]


def test_a_finish_at_midnight_belongs_to_the_day_worked() -> None:
    assert terms(plan_of(visit("P1/paint", "G3", at(1, 22), 2))).calendar_days == 2
    assert terms(plan_of(visit("P1/paint", "G3", at(1, 22.25), 2))).calendar_days == 3


def test_an_empty_plan_comes_to_nothing() -> None:
    found = terms(Plan("Test job", PlanStatus.FEASIBLE, Aim.FINISH, 0.0, 0.0, ()))
    assert (found.finish_days, found.cost, found.closures) == (0.0, 0.0, 0)


@pytest.mark.parametrize(("aim", "value"), [(Aim.FINISH, 5.5), (Aim.CLOSURES, 1.0), (Aim.COST, 8500.0)])
def test_the_value_of_each_aim_is_checked(aim: Aim, value: float) -> None:
    job = feature_job()
    assert audit(job, feature_weather(job), replace(CLEAN, aim=aim, value=value)) == ()
    wrong = audit(job, feature_weather(job), replace(CLEAN, aim=aim, value=value + 1))
    assert [finding.code for finding in wrong] == ["value-wrong"]


def test_overlapping_shifts_pay_the_one_that_started_last() -> None:
    fields = feature_fields()
    late = {"name": "Late", "rule": "FREQ=DAILY", "start": "09:00", "finish": "22:00"}
    fields["gangs"][2]["shifts"].append(late)
    job = feature_job(gangs=fields["gangs"])
    for start, name in ((8, "Round"), (9, "Late")):
        found = plan_terms(job, feature_weather(job), put(CLEAN, "P1/paint", at(5, start)))
        assert [one.shift for one in found.crew_days if one.gang == "G3"] == [name]
