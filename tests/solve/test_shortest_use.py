"""For how short a time a closure need be used, against the exact model with every shorter window of the closure."""

from __future__ import annotations

import pytest

from planner.audit.check import audit
from planner.calendars.closures import closure_window
from planner.closures.lengths import shortened
from planner.closures.planning import plan_once
from planner.closures.states import replaced, with_only
from planner.intervals import Interval
from planner.model import Job, Plan
from planner.solve.in_time import InTime, Question
from planner.solve.shortest_use import UNKNOWN, ShortestUse, shortest_use
from planner.weather.job_weather import JobWeather
from tests.closures.jobs import random_fields, random_job, with_quicker_way, with_weather
from tests.closures.test_trade_off import exact_finish
from tests.jobs import make_job

SEEDS = (1, 2, 6)
NIGHTS = 60.0


def _in_its_closures(seed: int) -> tuple[Job, JobWeather, Plan]:
    """Return a job with no closures but those of a plan, and that plan."""
    job, weather = random_job(seed)
    plan = plan_once(job, weather, 5.0, 20, 1).plan
    assert plan is not None
    return with_only(job, plan.closures_used), weather, plan


def _asked(job: Job, weather: JobWeather, plan: Plan, id: str, elements: frozenset[str]) -> ShortestUse:
    asking = InTime(weather, lambda: False)
    return shortest_use(asking, Question(job, plan.finish, elements, plan), id, NIGHTS)


def _works(job: Job, weather: JobWeather, latest: int, id: str, work: Interval) -> bool:
    """Say whether there is a plan in time with no more of a closure than `work` between its cones."""
    own = job.closure(id)
    window = closure_window(own, job.time)
    assert window.work is not None
    whole = window.whole
    cut = Interval(whole.start + work.start - window.work.start, whole.finish + work.finish - window.work.finish)
    finish = exact_finish(replaced(job, shortened(job, own, cut)), weather)
    return finish is not None and finish <= latest


@pytest.mark.parametrize("seed", SEEDS)
def test_no_shorter_window_works_wherever_it_lies(seed: int) -> None:
    job, weather, plan = _in_its_closures(seed)
    every = frozenset(element.id for element in job.elements)
    for id in plan.closures_used:
        found = _asked(job, weather, plan, id, every)
        assert found.used is not None
        assert found.used.length == found.least > 1
        assert found.plan is not None
        assert audit(job, weather, found.plan) == ()
        assert _works(job, weather, plan.finish, id, found.used)
        work = closure_window(job.closure(id), job.time).work
        assert work is not None
        shorter = [
            Interval(start, start + found.least - 1) for start in range(work.start, work.finish - found.least + 2)
        ]
        assert not any(_works(job, weather, plan.finish, id, one) for one in shorter)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_part_needs_no_more_of_a_closure_than_the_whole_job(seed: int) -> None:
    job, weather, plan = _in_its_closures(seed)
    every = frozenset(element.id for element in job.elements)
    for id in plan.closures_used:
        whole = _asked(job, weather, plan, id, every)
        for element in every:
            part = _asked(job, weather, plan, id, frozenset({element}))
            assert part.least <= whole.least
            if part.used is not None:
                assert part.plan is not None
                assert audit(job, weather, part.plan) == ()
                assert part.plan.finish <= plan.finish
                assert part.used.length >= whole.least


def test_the_quicker_way_needs_less_of_the_closure() -> None:
    job, weather = with_quicker_way(9)
    plan = plan_once(job, weather, 5.0, 1, 1).plan
    assert plan is not None
    assert {one.alternative for one in plan.placements} == {None}
    found = _asked(job, weather, plan, "C1", frozenset({"E0"}))
    assert (found.least, found.used and found.used.length) == (8, 8)
    assert found.plan is not None
    assert {one.alternative for one in found.plan.placements} == {None, "quick"}


def test_under_plates_nothing_is_claimed() -> None:
    """What may be done under plates hangs on both ends of each closure, so no shorter one is a part of a longer."""
    job, weather, plan = _in_its_closures(SEEDS[0])
    fields = random_fields(SEEDS[0])
    plated = {**fields["methods"][0]["exposed"][0], "plates": {"lift_min": 15, "lay_min": 15}}
    fields["methods"][0]["exposed"] = [plated]
    job, weather = with_weather(make_job(fields))
    elements = frozenset(element.id for element in job.elements)
    assert _asked(job, weather, plan, plan.closures_used[0], elements) == UNKNOWN


def test_nothing_is_known_where_it_was_given_up() -> None:
    job, weather, plan = _in_its_closures(SEEDS[0])
    question = Question(job, plan.finish, frozenset({"E0"}), plan)
    assert shortest_use(InTime(weather, lambda: True), question, plan.closures_used[0], NIGHTS) == UNKNOWN
