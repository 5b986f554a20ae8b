"""Money put on days, closures, crew-days and moves beside the job's own costs: one weighed sum, least and bounded."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import islice
from typing import Any

import pytest

from planner.audit.check import audit
from planner.audit.terms import PlanTerms, plan_terms
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.model import Aim, Job, Plan, Worths
from planner.problem.parts import Problem
from planner.solve.bounds import bound
from planner.solve.exact import Limits, Verdict, solve_exactly
from planner.solve.exact_scope import whole_scope
from planner.solve.prices import at_own_costs, priced
from planner.solve.run import solve_job
from planner.solve.schedule import Choice, Schedule, changes, cost, crew_days, make_workshop
from tests import jobs
from tests.audit.feature_job import at, weather_of
from tests.solve.test_aims import two_gangs
from tests.solve.test_exact_figures import closed
from tests.solve.tiny import every_schedule, random_problem

CHOICE = Choice((), frozenset(), ())


def weighed_plan(job: Job, worths: Worths, **more: Any) -> tuple[Plan, PlanTerms]:
    weather = weather_of(job, {})
    more = {"aim": Aim.COST, "seconds": 20, "trials": 400, "floors": True, **more}
    found = solve_job(job, weather, worths=worths, **more)
    assert found.plan is not None, found.reasons
    assert audit(job, weather, found.plan) == ()
    return found.plan, plan_terms(job, weather, found.plan)


@pytest.mark.parametrize(
    ("worths", "finish", "value"),
    [
        # Together on Monday 1,300, or one after the other to Tuesday 800: a day must be worth 500 to turn it.
        (Worths(day=499.0), at(1, 13), 800.0 + 2 * 499.0),
        (Worths(day=501.0), 13 * 4, 1300.0 + 501.0),
        (Worths(day=501.0, crew_day=2.0), 13 * 4, 1300.0 + 501.0 + 2 * 2.0),
    ],
)
def test_a_day_counts_as_it_is_worth(worths: Worths, finish: int, value: float) -> None:
    plan, terms = weighed_plan(two_gangs(), worths)
    assert (plan.finish, plan.value, plan.bound) == (finish, value, value)
    assert plan.value == terms.weighed(worths)
    assert plan.floors is not None
    # The terms and their floors are at the job's own costs.
    assert (plan.floors.prelims, plan.floors.crew_cost) == (100.0, pytest.approx(360.0, abs=0.01))
    assert plan.floors.cost <= 800.0  # type: ignore[operator]


def test_weighing_nothing_is_least_cost() -> None:
    plan, _ = weighed_plan(two_gangs(), Worths())
    assert (plan.value, plan.worths) == (800.0, Worths())


def test_a_move_counts_from_the_plan_handed_out() -> None:
    """Both walls together cost 500 more than one after the other; they were handed out together."""
    job = two_gangs()
    together, _ = weighed_plan(job, Worths(day=501.0))
    dear, _ = weighed_plan(job, Worths(moved=499.0), base=together)
    cheap, _ = weighed_plan(job, Worths(moved=501.0), base=together)
    assert (dear.finish, dear.value) == (at(1, 13), 800.0 + 499.0)
    assert (cheap.finish, cheap.value) == (13 * 4, 1300.0)
    assert cheap.placements == together.placements
    with pytest.raises(ValueError, match="base"):
        solve_job(job, weather_of(job, {}), worths=Worths(moved=1.0))


def test_worths_stand_with_the_plan_and_the_audit_holds_it_to_them() -> None:
    job, worths = two_gangs(), Worths(day=501.0, closure=3.25)
    plan, _ = weighed_plan(job, worths)
    assert plan_from_dict(plan_to_dict(plan, job), job) == plan
    for wrong in (replace(plan, worths=Worths(day=500.0)), replace(plan, worths=Worths())):
        assert [one.code for one in audit(job, weather_of(job, {}), wrong)][:1] == ["value-wrong"]
    moved = replace(plan, worths=Worths(day=501.0, moved=7.0), value=plan.value + 14.0)
    assert audit(job, weather_of(job, {}), moved) == ()
    assert audit(job, weather_of(job, {}), replace(moved, value=plan.value + 10.0)) != ()


def _weigh(problem: Problem, placed: Schedule, worths: Worths) -> float:
    """Return the weighed sum of a schedule of a problem at its own costs, term by term."""
    days = sum(begin < placed.finish for begin in problem.day_starts)
    moved = changes(problem, placed.placed)[0]
    crews = len(crew_days(problem, placed.placed))
    return cost(problem, placed) + worths.of(days, len(placed.closures), crews, moved)


def _at_worths(problem: Problem, worths: Worths) -> Problem:
    return replace(
        problem,
        prelims_per_day=problem.prelims_per_day + worths.day,
        closures=tuple(replace(one, cost=one.cost + worths.closure) for one in problem.closures),
        gangs=tuple(replace(one, cost=one.cost + worths.crew_day) for one in problem.gangs),
        moved_cost=worths.moved,
    )


def _schedules(problem: Problem) -> list[Schedule]:
    return [Schedule(shut, CHOICE) for placed in every_schedule(problem) for shut in closed(problem, placed, 0)]


def _feasible(count: int) -> list[int]:
    """Return the first seeds whose chains have a schedule."""
    return list(islice((seed for seed in range(1000) if _schedules(random_problem(seed))), count))


@pytest.mark.parametrize("seed", _feasible(25))
def test_the_least_weighed_sum_is_that_of_exhaustive_search(seed: int) -> None:
    """Random chains and worths, some tasks with a place in an old plan: every schedule is weighed by its terms."""
    draw = random.Random(seed)
    problem = random_problem(seed)
    every = _schedules(problem)
    old = draw.choice(every).placed
    tasks = tuple(replace(task, issued=old[task.index] if draw.random() < 0.7 else None) for task in problem.tasks)
    problem = replace(problem, tasks=tasks)
    worths = Worths(*(draw.choice((0.0, 0.5, 2.25, 6.0, 30.0)) for _ in range(4)))
    least = min(_weigh(problem, one, worths) for one in every)
    at_worths = make_workshop(_at_worths(problem, worths))
    found = solve_exactly(whole_scope(at_worths), Aim.COST, Limits(60.0), lambda: False)
    assert found.verdict is Verdict.BEST
    assert found.bound == pytest.approx(least, abs=0.01)
    assert (bound(at_worths, Aim.COST) or 0.0) <= least + 0.01
    ((own,),) = at_own_costs(((at_worths,),), worths)
    assert own.problem == problem


@pytest.mark.parametrize("seed", range(6))
def test_no_plan_of_a_job_with_choices_weighs_less_than_the_bound(seed: int) -> None:
    """Walls with a quick and dear way: the bound of one weighing holds for the plans of all others, weighed alike."""
    draw = random.Random(seed)
    fields = jobs.road_fields()
    fields["closures"] = [jobs.night_closure(f"C{n}", n, cost=float(draw.randrange(1, 9) * 100)) for n in range(4)]
    fields["gangs"] = [jobs.gang("G1", shifts=[_NIGHTS], cost_per_shift=300.0)]
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 2], [20, 1]]}
    fields["elements"] = [
        jobs.element(f"E{n}", lanes=["L1"], hours={"saw": draw.choice((0.5, 1.5)), "header": draw.choice((1.0, 3.0))})
        for n in range(2)
    ]
    way = {"elements": ["E0"], "operation": "header", "id": "quick", "name": "Quick", "hours": 0.5, "cost": 150.0}
    fields["alternatives"] = [way]
    job = jobs.make_job(fields)
    weighings = [Worths(), Worths(day=draw.randrange(900)), Worths(closure=draw.randrange(900), crew_day=250.0)]
    made = [weighed_plan(job, one, trials=120) for one in weighings]
    for worths, (plan, _) in zip(weighings, made, strict=True):
        assert plan.floors is not None
        for _, terms in made:
            assert plan.bound <= terms.weighed(worths) + 0.01
            assert (plan.floors.cost or 0.0) <= terms.cost + 0.01
            assert (plan.floors.closure_cost or 0.0) <= terms.closure_cost + 0.01
            assert (plan.floors.crew_cost or 0.0) <= terms.crew_cost + 0.01


_NIGHTS = {"name": "Night", "rule": "FREQ=DAILY", "start": "20:00", "finish": "06:00"}


def test_the_job_itself_is_left_as_it_is() -> None:
    job = two_gangs()
    dearer = priced(job, Worths(day=5.0, crew_day=7.0))
    assert (dearer.job.prelims_per_day, [gang.cost_per_shift for gang in dearer.gangs]) == (105.0, [307.0, 907.0])
    assert (job.job.prelims_per_day, [gang.cost_per_shift for gang in job.gangs]) == (100.0, [300.0, 900.0])
    assert priced(job, Worths()) is job


@pytest.mark.parametrize("amount", [-1.0, float("nan"), float("inf"), 1e12])
def test_an_amount_that_can_be_no_worth_is_refused(amount: float) -> None:
    with pytest.raises(ValueError, match="day must be worth"):
        Worths(day=amount)
