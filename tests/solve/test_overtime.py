"""Overtime: worked where it betters the aim, paid to the end of the last visit, and checked by the audit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from planner.audit.check import audit
from planner.audit.terms import plan_terms
from planner.calendars.shifts import shift_times
from planner.model import Aim, Job, Plan
from planner.network.options import overtime_in
from planner.solve.run import solve_job
from tests import jobs
from tests.audit.feature_job import weather_of


def late(hours: float, overtime_h: float = 2.0, prelims: float = 100.0, **shift: Any) -> Job:
    """Return one operation of so many hours, cut into visits, for a gang on 07:00-17:00, overtime at 40 an hour."""
    fields = jobs.small_fields()
    fields["job"]["prelims_per_day"] = prelims
    day = {"name": "Day", "rule": "FREQ=DAILY", "start": "07:00", "finish": "17:00"}
    fields["gangs"] = [jobs.gang(shifts=[{**day, "overtime_h": overtime_h, "overtime_cost_per_h": 40.0, **shift}])]
    fields["methods"] = [jobs.method(jobs.operation("work", hours, visits="many"))]
    return jobs.make_job(fields)


def planned(job: Job, aim: Aim) -> Plan:
    weather = weather_of(job, {})
    found = solve_job(job, weather, aim=aim, seconds=20, trials=200)
    assert found.plan is not None, found.reasons
    assert audit(job, weather, found.plan) == ()
    return found.plan


def overtime_cost(job: Job, plan: Plan) -> float:
    return plan_terms(job, weather_of(job, {}), plan).overtime_cost


def test_the_finish_is_reached_in_overtime() -> None:
    """By hand: 11 h from 07:00 end at 18:00, one hour after the shift."""
    job = late(11.0)
    plan = planned(job, Aim.FINISH)
    assert plan.finish == 18 * 4
    assert overtime_cost(job, plan) == 40.0


@pytest.mark.parametrize(("prelims", "paid"), [(100.0, 40.0), (30.0, 0.0)])
def test_the_cost_weighs_overtime_against_another_day(prelims: float, paid: float) -> None:
    job = late(11.0, prelims=prelims)
    assert overtime_cost(job, planned(job, Aim.COST)) == paid


def test_overtime_is_paid_from_the_minute_at_which_the_shift_ends() -> None:
    """17:05 is off the quarter-hours: from then to 18:00 are 55 minutes."""
    job = late(11.0, finish="17:05")
    assert overtime_cost(job, planned(job, Aim.FINISH)) == pytest.approx(40.0 * 55 / 60)


def test_overtime_ends_where_the_next_shift_of_the_gang_starts() -> None:
    fields = late(11.0).model_dump(mode="python")
    evening = {"name": "Evening", "rule": "FREQ=DAILY", "start": "17:30", "finish": "20:00"}
    fields["gangs"][0]["shifts"] = [*fields["gangs"][0]["shifts"], evening]
    job = jobs.make_job(fields)
    first, second, *_ = shift_times(job.gangs[0], job)
    assert (first.overtime, second.overtime) == (2, 0)


def test_the_audit_finds_work_past_the_overtime() -> None:
    job = late(11.0, overtime_h=0.5)
    plan = planned(job, Aim.FINISH)
    long = replace(plan.placements[0], finish=plan.placements[0].start + 44)
    found = audit(job, weather_of(job, {}), replace(plan, placements=(long,)))
    assert "outside-shift" in {finding.code for finding in found}


@pytest.mark.parametrize("other_way", [False, True])
def test_a_plan_that_works_overtime_is_no_change_from_itself(other_way: bool) -> None:
    """What was issued in overtime can stay there: the bound says so too, and no way of choosing is left out."""
    job = late(11.0)
    if other_way:
        offer = {"elements": ["E1"], "operation": "work", "id": "quick", "name": "Quick", "hours": 6.0, "cost": 5.0}
        fields = job.model_dump()
        fields["alternatives"] = [offer]
        job = Job.model_validate(fields)
    issued = planned(late(11.0), Aim.FINISH)
    assert issued.finish == 18 * 4
    weather = weather_of(job, {})
    found = solve_job(job, weather, aim=Aim.CHANGE, seconds=20, trials=60, base=issued)
    assert found.plan is not None
    assert (found.plan.value, found.plan.bound) == (0.0, 0.0)
    assert found.plan.placements == issued.placements
    assert overtime_in(job, issued) == {"G1": "overtime"}
    assert overtime_in(job, replace(issued, placements=())) == {}
