"""Why elements that can each be done alone can't be done together: proved, and each way out is one."""

from __future__ import annotations

from typing import Any

import pytest

from planner.audit.check import audit
from planner.model import Job
from planner.solve.run import Outcome, solve_job
from tests import jobs
from tests.audit.feature_job import weather_of


def solved(job: Job) -> Outcome:
    return solve_job(job, weather_of(job, {}), seconds=20, trials=200)


def one_day(*hours: float, **more: Any) -> dict[str, Any]:
    """Return a job of one day: a wall for each of `hours` of work in one visit, one gang from 07:00 to 17:00."""
    fields = jobs.small_fields()
    fields["job"]["days"] = 1
    fields["methods"] = [jobs.method(jobs.operation("work", 4.0))]
    fields["elements"] = [jobs.element(f"E{n}", hours={"work": h}) for n, h in enumerate(hours, 1)]
    return {**fields, **more}


def test_two_walls_and_one_gang_for_a_day_name_both_and_what_is_missing() -> None:
    """By hand: 6 h and 5 h 30 min are 11 h 30 min, and the shift has 10: 1 h 30 min more, or a gang more."""
    outcome = solved(jobs.make_job(one_day(6.0, 5.5)))
    assert outcome.plan is None
    assert outcome.proved
    head, *rest = outcome.reasons
    assert head.startswith("No plan exists: “Element E1” and “Element E2” can each be done alone, but not together.")
    assert len(rest) == 2
    for line in rest:
        assert line.endswith("Enough would be: 1 h 30 min more of Gang G1 at the end of its shifts")


def test_a_third_wall_that_is_not_to_blame_is_left_out() -> None:
    fields = one_day(6.0, 5.5)
    fields["gangs"] = [jobs.gang("G1"), jobs.gang("G2", skills=["dig"])]
    fields["methods"].append(jobs.method(jobs.operation("dig", 3.0, skill="dig"), id="D"))
    fields["elements"].append(jobs.element("E3", method="D"))
    outcome = solved(jobs.make_job(fields))
    assert outcome.proved
    assert not any("E3" in line for line in outcome.reasons)


def test_shared_plant_is_named_with_how_many_would_do() -> None:
    fields = one_day(6.0, 6.0)
    fields["gangs"] = [jobs.gang("G1"), jobs.gang("G2")]
    fields["plant"] = [{"id": "rig", "name": "Water rig", "count": 1}]
    fields["methods"] = [jobs.method(jobs.operation("work", 4.0, plant=["rig"]))]
    outcome = solved(jobs.make_job(fields))
    assert outcome.proved
    words = "\n".join(outcome.reasons)
    assert "needs “Water rig”, of which there is 1" in words
    assert "Enough would be: 2 of “Water rig” instead of 1" in words


def test_a_closure_too_short_for_two_stretches_by_one_gang() -> None:
    """Three joints of 2 h 30 min are 7 h 30 min for the gang and 30 min to be fit, between cones for 6 h 45 min."""
    fields = jobs.road_fields()
    fields["job"]["days"] = 2
    fields["closures"] = [jobs.night_closure("C1", 0)]
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 0.5]]}
    fields["elements"] = [jobs.element(f"E{n}", lanes=["L1"], hours={"saw": 0.5, "header": 2.0}) for n in (1, 2, 3)]
    outcome = solved(jobs.make_job(fields))
    assert outcome.plan is None
    assert outcome.proved
    # 1 h 15 min more, at the end till 06:15 with the cones away in its last half hour, or at its start from 19:45.
    words = "\n".join(outcome.reasons)
    assert "Enough would be: closure “Lane closure” of Mon 3 Jun" in words
    assert "until 06:15 instead of 05:00" in words or "from 19:45 instead of 21:00" in words


def test_each_relaxation_of_the_gang_frees_a_plan_and_a_quarter_hour_less_does_not() -> None:
    fields = one_day(6.0, 5.5)
    day = fields["gangs"][0]["shifts"][0]
    for over, expected in ((1.5, True), (1.25, False)):
        fields["gangs"] = [jobs.gang(shifts=[{**day, "overtime_h": over}])]
        job = jobs.make_job(fields)
        outcome = solve_job(job, weather_of(job, {}), seconds=2)
        assert (outcome.plan is not None) == expected
        if outcome.plan:
            assert audit(job, weather_of(job, {}), outcome.plan) == ()


def test_orders_that_all_fail_are_not_the_last_word() -> None:
    """Exact search finds a plan where laying each wall at its earliest never does."""
    fields = jobs.small_fields()
    fields["job"]["days"] = 1
    shift = {"name": "Day", "rule": "FREQ=DAILY", "start": "07:00", "finish": "17:00"}
    fields["gangs"] = [jobs.gang("G1", shifts=[shift]), jobs.gang("G2", shifts=[shift], skills=["dig"])]
    pair = jobs.method(
        jobs.operation("a", 1.0),
        jobs.operation("b", 1.0),
        gaps=[{"after": "a", "before": "b", "not_before_h": 1.0, "not_after_h": 1.0}],
    )
    fields["methods"] = [pair]
    fields["elements"] = [jobs.element(f"E{n}") for n in range(1, 6)]
    job = jobs.make_job(fields)
    outcome = solved(job)
    # Five pairs of one hour, a gap of one between, are ten hours without a break only if they interlock in pairs.
    assert outcome.plan is None
    assert outcome.proved


@pytest.mark.parametrize("count", [1, 2])
def test_with_a_choice_open_nothing_is_called_proved(count: int) -> None:
    fields = one_day(*([9.0] * (count + 1)))
    way = {"id": "quick", "name": "Quick", "hours": 8.5, "cost": 10.0}
    fields["methods"] = [jobs.method(jobs.operation("work", 9.0, alternatives=[way]))]
    outcome = solved(jobs.make_job(fields))
    assert outcome.plan is None
    assert not outcome.proved
