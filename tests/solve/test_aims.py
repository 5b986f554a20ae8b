"""Aims in order, floors of every term, and least change where few orders are tried."""

from __future__ import annotations

import random
from datetime import time
from typing import Any

import pytest

from planner.audit.check import audit
from planner.audit.terms import PlanTerms, plan_terms
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.model import Aim, Job, Plan
from planner.problem.issued import Issued
from planner.solve.exact import Limits, solve_exactly
from planner.solve.exact_scope import whole_scope
from planner.solve.options import Ways
from planner.solve.run import solve_job
from planner.units import Slot
from tests import jobs
from tests.audit.feature_job import at, feature_job, feature_plan, feature_weather, weather_of
from tests.solve.conftest import LoadedJob


def two_gangs(dear: float = 900.0) -> Job:
    """Return two walls for a cheap gang, and a dear one that could do one of them at the same time."""
    fields = jobs.small_fields()
    fields["job"]["prelims_per_day"] = 100.0
    fields["methods"] = [jobs.method(jobs.operation("work", 6.0))]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    fields["gangs"] = [jobs.gang("cheap", cost_per_shift=300.0), jobs.gang("dear", cost_per_shift=dear)]
    return jobs.make_job(fields)


def planned(job: Job, *aims: Aim, **more: Any) -> tuple[Plan, PlanTerms]:
    weather = weather_of(job, {})
    found = solve_job(job, weather, aim=aims[0], then=aims[1:], seconds=20, trials=600, floors=True, **more)
    assert found.plan is not None, found.reasons
    assert audit(job, weather, found.plan) == ()
    return found.plan, plan_terms(job, weather, found.plan)


def test_the_first_aim_counts_first() -> None:
    """By hand: together on Monday 1,300 with a day's prelims; one after the other to Tuesday 800."""
    job = two_gangs()
    soon, soon_terms = planned(job, Aim.FINISH, Aim.COST)
    cheap, cheap_terms = planned(job, Aim.COST, Aim.FINISH)
    assert (soon.finish, soon_terms.cost) == (13 * 4, 1300.0)
    assert (cheap.finish, cheap_terms.cost) == (at(1, 13), 800.0)
    assert (soon.then, cheap.then) == ((Aim.COST,), (Aim.FINISH,))


def test_of_plans_that_finish_alike_the_second_aim_takes_the_cheapest() -> None:
    """Long work of the dear gang fixes the finish on Tuesday; the rest need not be done by it too."""
    job = two_gangs()
    dig = jobs.method(jobs.operation("dig", 16.0, skill="dig", visits="many"), id="D")
    able = job.gangs[1].model_copy(update={"skills": ("coat", "dig")})
    fields = jobs.small_fields()
    fields["methods"] = [jobs.method(jobs.operation("work", 6.0)), dig]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2"), jobs.element("E3", method="D")]
    job = jobs.make_job(fields).model_copy(update={"gangs": (job.gangs[0], able)})
    plan, terms = planned(job, Aim.FINISH, Aim.COST)
    assert plan.finish == at(1, 13)
    # Two shifts of each gang are the least: the dear one must come twice, and the cheap one does both walls.
    assert terms.crew_cost == 2 * 900 + 2 * 300


def test_every_term_has_a_floor_that_the_plan_keeps() -> None:
    plan, terms = planned(two_gangs(), Aim.COST)
    floors = plan.floors
    assert floors is not None
    assert floors.finish_days == plan.floors.finish_days == pytest.approx(13 / 24)
    assert floors.prelims == 100.0
    # Twelve hours of work for shifts of ten are two shifts, one of the cheap gang's at the least: 1.2 of 300.
    assert (floors.crew_days, floors.closures) == (2, 0)
    assert floors.crew_cost == pytest.approx(360.0, abs=0.01)
    # The whole of it is small enough for the exact search, which proves what by parts would be 460.
    assert floors.cost == terms.cost == plan.bound == 800.0
    assert plan_from_dict(plan_to_dict(plan, two_gangs()), two_gangs()) == plan


@pytest.mark.parametrize("aim", [Aim.FINISH, Aim.COST])
def test_the_floors_of_the_feature_job_hold_for_the_plan_made_by_hand(aim: Aim) -> None:
    job = feature_job()
    weather = feature_weather(job)
    found = solve_job(job, weather, aim=aim, seconds=30, trials=30, floors=True)
    assert found.plan is not None
    assert found.plan.floors is not None
    by_hand, floors = plan_terms(job, weather, feature_plan()), found.plan.floors
    reached = {
        "finish_days": by_hand.finish_days,
        "closures": by_hand.closures,
        "crew_days": len(by_hand.crew_days),
        "prelims": by_hand.prelims,
        "closure_cost": by_hand.closure_cost,
        "crew_cost": by_hand.crew_cost,
        "cost": by_hand.cost,
    }
    for name, value in reached.items():
        assert getattr(floors, name) <= value + 1e-6, name


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_found_is_below_a_floor_of_another_aim(seed: int) -> None:
    """Random walls, gangs and closures: what one aim's plan says that none goes below, no other aim's plan does."""
    draw = random.Random(seed)
    fields = jobs.road_fields()
    fields["closures"] = [jobs.night_closure(f"C{n}", n, cost=float(draw.randrange(1, 9) * 100)) for n in range(4)]
    nights = {"name": "Night", "rule": "FREQ=DAILY", "start": "20:00", "finish": "06:00"}
    late = {**nights, "overtime_h": 1.0, "overtime_cost_per_h": 60.0}
    fields["gangs"] = [
        jobs.gang("G1", shifts=[nights], cost_per_shift=float(draw.randrange(1, 9) * 100)),
        jobs.gang("G2", shifts=[late], cost_per_shift=float(draw.randrange(1, 9) * 100)),
    ]
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 2], [20, 1]]}
    fields["elements"] = [
        jobs.element(f"E{n}", lanes=["L1"], hours={"saw": draw.choice((0.5, 1.0, 1.5)), "header": 1.0})
        for n in range(draw.randint(1, 4))
    ]
    job = jobs.make_job(fields)
    made = [planned(job, aim) for aim in (Aim.FINISH, Aim.CLOSURES, Aim.COST)]
    for plan, _ in made:
        assert plan.floors is not None
        for _, terms in made:
            assert (plan.floors.finish_days or 0) <= terms.finish_days + 1e-6
            assert (plan.floors.closures or 0) <= terms.closures
            assert (plan.floors.crew_days or 0) <= len(terms.crew_days)
            assert (plan.floors.prelims or 0) <= terms.prelims + 0.01
            assert (plan.floors.closure_cost or 0) <= terms.closure_cost + 0.01
            assert (plan.floors.crew_cost or 0) <= terms.crew_cost + 0.01
            assert (plan.floors.cost or 0) <= terms.cost + 0.01


@pytest.mark.parametrize("trials", [1, 2, 5])
def test_least_change_finds_a_plan_however_few_orders_are_tried(trials: int) -> None:
    """The gang's first day is taken away: what stays as issued blocks the rest until its order is mended."""
    fields = jobs.small_fields()
    fields["gangs"] = [jobs.gang("G1")]
    fields["elements"] = [jobs.element(f"E{n}") for n in range(4)]
    job = jobs.make_job(fields)
    weather = weather_of(job, {})
    base = solve_job(job, weather, seconds=20, trials=50).plan
    assert base is not None
    found = solve_job(job, weather, aim=Aim.CHANGE, seconds=20, trials=trials, base=base, now=Slot(at(0, 8)))
    assert found.plan is not None
    assert found.plan.value == 0.0


def test_the_main_job_is_bounded_term_by_term(main_job: LoadedJob) -> None:
    job, weather = main_job.job, main_job.weather
    found = solve_job(job, weather, seconds=60, trials=10, floors=True)
    assert found.plan is not None
    assert found.plan.floors is not None
    terms = plan_terms(job, weather, found.plan)
    assert audit(job, weather, found.plan) == ()
    # Sum of the parts: prelims to the finish that is proved, four closures, and wages by the hours of work.
    assert found.plan.floors.prelims == terms.prelims
    assert (found.plan.floors.cost or 0) > 90_000


@pytest.mark.parametrize("seed", range(8))
def test_no_plan_changes_fewer_than_the_floor_says_whatever_is_chosen(seed: int) -> None:
    """Random days off break an issued plan of walls with a choice; the least of all ways is never below the floor."""
    draw = random.Random(seed)
    fields = jobs.small_fields()
    way = {"id": "quick", "name": "Quick", "hours": 1.0, "cost": 10.0}
    first = jobs.operation("first", 2.0, alternatives=[way])
    second = jobs.operation("second", 2.0)
    gap = {"after": "first", "before": "second", "not_before_h": 1.0, "not_after_h": 6.0}
    fields["methods"] = [jobs.method(first, second, gaps=[gap])]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    job = jobs.make_job(fields)
    weather = weather_of(job, {})
    base = solve_job(job, weather, seconds=20, trials=60).plan
    assert base is not None
    finish = f"{draw.choice((12, 13, 14, 15)):02d}:00"
    days = tuple(shift.model_copy(update={"finish": time.fromisoformat(finish)}) for shift in job.gangs[0].shifts)
    shorter = job.model_copy(update={"gangs": (job.gangs[0].model_copy(update={"shifts": days}),)})
    found = solve_job(shorter, weather, aim=Aim.CHANGE, seconds=3, base=base)
    assert found.plan is not None
    assert audit(shorter, weather, found.plan) == ()
    ways, one, other = Ways(shorter, weather, Issued(base)), {"E1/first": "quick"}, {"E2/first": "quick"}
    every = ({}, one, other, {**one, **other})
    scopes = [whole_scope(ways.workshop(chosen)) for chosen in every]
    exact = [solve_exactly(scope, Aim.CHANGE, Limits(20.0), lambda: False).bound for scope in scopes]
    least = min(bound for bound in exact if bound is not None)
    assert found.plan.bound <= least <= found.plan.value


def test_begun_work_of_two_elements_goes_with_parts_of_the_job() -> None:
    """Bounds look at an element with a choice by itself, though another one's work has begun too."""
    fields = jobs.small_fields()
    way = {"id": "quick", "name": "Quick", "hours": 1.0, "cost": 10.0}
    fields["methods"] = [jobs.method(jobs.operation("first", 2.0), jobs.operation("second", 2.0, alternatives=[way]))]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    job = jobs.make_job(fields)
    weather = weather_of(job, {})
    base = solve_job(job, weather, seconds=20, trials=30).plan
    assert base is not None
    found = solve_job(job, weather, seconds=5, trials=30, base=base, now=Slot(at(0, 12)), floors=True)
    assert found.plan is not None
    assert found.plan.floors is not None
