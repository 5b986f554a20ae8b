"""Why elements that can each be done alone can't be done together: proved, and each way out is one."""

from __future__ import annotations

import random
from itertools import product
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
    assert rest[0].endswith("Enough would be: 1 h 30 min more of Gang G1 at the end of its shifts")
    assert rest[1].endswith("Enough would be: the same")


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


@pytest.mark.parametrize("count", [2, 3])
def test_with_a_choice_open_every_way_is_searched(count: int) -> None:
    """By hand: 8 h 30 min done quickly and 9 h done the usual way; of two walls in a shift of 10 h none has room."""
    fields = one_day(*([9.0] * count))
    way = {"id": "quick", "name": "Quick", "hours": 8.5, "cost": 10.0}
    fields["methods"] = [jobs.method(jobs.operation("work", 9.0, alternatives=[way]))]
    outcome = solved(jobs.make_job(fields))
    assert outcome.plan is None
    assert outcome.proved
    head, *rest = outcome.reasons
    assert "can each be done alone, but not together, whatever is chosen (4 ways)." in head
    assert rest[0].endswith("Enough would be, done the usual way: 1 more like Gang G1")
    assert all(line.endswith("Enough would be, done the usual way: the same") for line in rest[1:])


def test_more_ways_than_can_be_searched_prove_nothing_and_say_so() -> None:
    fields = one_day(9.0, 9.0)
    ways = [{"id": f"quick_{n}", "name": "Quick", "hours": 8.0 - n / 4, "cost": 10.0} for n in range(6)]
    fields["methods"] = [jobs.method(jobs.operation("work", 9.0, alternatives=ways))]
    outcome = solved(jobs.make_job(fields))
    assert outcome.plan is None
    assert not outcome.proved
    assert "There are more ways of choosing for them than could all be looked into." in outcome.reasons[0]


@pytest.mark.parametrize("seed", range(30))
def test_no_plan_is_said_only_where_no_way_and_no_share_of_the_work_fits(seed: int) -> None:
    """Walls with a choice, one or two gangs, shifts of 10 h on one day: every way and every sharing out is tried."""
    draw = random.Random(seed)
    hours = [draw.choice((3.0, 4.5, 5.5, 7.0)) for _ in range(draw.choice((2, 3)))]
    quick = draw.choice((2.0, 3.5, 5.0))
    gangs = draw.choice((1, 2))
    fields = one_day(*hours)
    fields["gangs"] = [jobs.gang(f"G{n}") for n in range(gangs)]
    way = {"id": "quick", "name": "Quick", "hours": quick, "cost": 10.0}
    fields["alternatives"] = [{"elements": ["E1", "E2"], "operation": "work", **way}]
    choices = [(h, quick) if n < 2 else (h,) for n, h in enumerate(hours)]
    fits = any(
        all(sum(h for h, gang in zip(way_hours, share, strict=True) if gang == one) <= 10.0 for one in range(gangs))
        for way_hours in product(*choices)
        for share in product(range(gangs), repeat=len(hours))
    )
    outcome = solved(jobs.make_job(fields))
    assert (outcome.plan is not None) == fits
    assert fits or outcome.proved


def test_an_element_that_no_choice_helps_is_named_with_how_many_were_tried() -> None:
    """Alone, too: 4 h, a gap of 4 h and 4 h more are 12 h, and 11 h done quickly; a shift has 10 h."""
    fields = one_day(4.0)
    way = {"id": "quick", "name": "Quick", "hours": 3.0, "cost": 10.0}
    gap = {"after": "first", "before": "then", "not_before_h": 4.0}
    first = jobs.operation("first", 4.0, alternatives=[way])
    fields["methods"] = [jobs.method(first, jobs.operation("then", 4.0), gaps=[gap])]
    fields["elements"] = [jobs.element("E1")]
    outcome = solved(jobs.make_job(fields))
    assert outcome.proved
    assert "even with everything else out of the way, whatever is chosen (2 ways)." in outcome.reasons[0]
