"""A study on its way: what it shows before its end, and what is kept when it is stopped."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.audit.terms import plan_terms
from planner.closures.planning import Planner
from planner.closures.results import Instead, Step, Study
from planner.closures.study import study
from planner.model import Job
from planner.weather.job_weather import JobWeather
from tests.closures.jobs import closure, random_fields, random_job, with_weather
from tests.jobs import make_job


def test_steps_are_shown_before_the_end_and_the_last_sight_is_the_answer(seen: tuple[Study, ...]) -> None:
    found = seen[-1]
    assert seen[0].by_number.steps
    assert seen[0].recommended is None
    begun = next(one for one in seen if one.recommended is not None)
    assert begun.worths
    assert all(worth.least is None and worth.refusal is None for worth in begun.worths)
    assert all(worth.least is not None and worth.refusal is not None for worth in found.worths)


def test_a_study_stopped_keeps_what_it_has() -> None:
    job, weather = random_job(2)
    stop: list[bool] = []

    def see(sight: Study) -> None:
        if sight.recommended is not None:
            stop.append(True)

    found = study(job, weather, seconds=60, show=see, stop=lambda: bool(stop))
    assert found.recommended is not None
    assert found.worths
    assert all(worth.least is None for worth in found.worths)


def twins() -> tuple[Job, JobWeather]:
    """Return a job that needs one of two closures with the same times and costs."""
    fields = random_fields(0)
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["elements"] = [{**fields["elements"][0], "lanes": ["L1"]}]
    fields["closures"] = [closure("ONE", 20, 9, cost=90), closure("OTHER", 20, 9, cost=90)]
    return with_weather(make_job(fields))


def test_of_steps_with_equal_figures_the_one_looked_into_is_shown() -> None:
    """Whichever of two like closures is looked into, both stairs ask for that one."""
    job, weather = twins()
    found = study(job, weather, seconds=10)
    shown = found.by_number.steps[0]
    (name,) = shown.closures
    other = next(one.id for one in job.closures if one.id != name)
    plan = study(job, weather, refused=(name,), seconds=10).by_number.steps[0].plan
    into = Step(1, (other,), plan, plan_terms(job, weather, plan), 0, False)
    for trade_off in (found.by_number, found.by_money):
        (step,) = trade_off.showing(into).steps
        assert (step.closures, step.plan) == ((other,), plan)
        assert (step.price, step.floor, step.proved) == (trade_off.steps[0].price, shown.floor, shown.proved)
        earlier = replace(into, plan=replace(plan, placements=plan.placements[:1]))
        dearer = replace(into, terms=replace(into.terms, closure_cost=91.0))
        assert trade_off.showing(earlier) == trade_off.showing(dearer) == trade_off


def test_a_step_that_a_refusal_came_upon_is_the_one_that_the_stairs_show(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the second choice were the more willingly used: request and stairs ask for that one, once and for all."""
    job, weather = twins()
    usual = study(job, weather, seconds=10).by_number.steps[0].closures
    offered: list[Step] = []

    def better(_planner: Planner, step: Step, second: Instead | None) -> Step | None:
        if offered or second is None:
            return None
        offered.append(replace(step, closures=second.closures, plan=second.plan, terms=second.terms))
        return offered[0]

    monkeypatch.setattr("planner.closures.study._bettered", better)
    found = study(job, weather, seconds=10)
    assert offered
    assert found.recommended == offered[0]
    assert offered[0].closures != usual
    for trade_off in (found.by_number, found.by_money):
        assert [(step.closures, step.plan) for step in trade_off.steps] == [(offered[0].closures, offered[0].plan)]
