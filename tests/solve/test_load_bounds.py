"""The bound by load: never beyond what trying everything finds, nor beyond a plan; and more than nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.audit.check import audit
from planner.model import Aim
from planner.problem import bits
from planner.problem.build import build_problem
from planner.problem.parts import GangRule, Problem, Task, Unit
from planner.solve.as_plan import make_plan
from planner.solve.bounds import finish_bound
from planner.solve.load_bounds import finish_bound_by_load, is_too_early, pools
from planner.solve.schedule import make_workshop
from planner.solve.search import Search
from tests.benchmarks.made_jobs import made_job
from tests.solve.tiny import earliest_finish, random_problem


def never() -> bool:
    return False


@pytest.mark.parametrize("seed", [*range(40), *range(1000, 1030)])
def test_the_earliest_finish_is_never_too_early(seed: int) -> None:
    problem = random_problem(seed, elements=1 if seed < 1000 else 2)
    expected = earliest_finish(problem)
    if expected is not None:
        assert not is_too_early(make_workshop(problem), expected)


def test_load_says_more_than_units_alone_where_units_compete() -> None:
    better = 0
    for seed in range(1000, 1060):
        workshop = make_workshop(random_problem(seed, elements=2))
        alone = finish_bound(workshop)
        if alone is not None:
            better += finish_bound_by_load(workshop, alone, workshop.problem.horizon) > alone
    assert better > 5


def day_gang(name: str, cost: float = 0.0) -> GangRule:
    """Return a gang at work in slots 0–8 and 10–18."""
    return GangRule(name, bits.span(0, 8) | bits.span(10, 18), 1 | 1 << 10, 0, cost, ((0, 8), (10, 18)))


def jobs_of(lengths: list[int], gangs: tuple[int, ...], count: int, splittable: bool = False) -> Problem:
    """Return loose tasks of these lengths that any of `gangs` can do, for `count` gangs."""
    horizon = 20
    tasks = tuple(
        Task(
            index=index,
            key=f"E{index}/t",
            length=length,
            min_visit=1,
            splittable=splittable,
            gangs=gangs,
            structure=0,
            plant=(),
            closures=None,
            good=bits.span(0, horizon),
            ends=bits.span(0, horizon + 1),
        )
        for index, length in enumerate(lengths)
    )
    units = tuple(Unit(index, f"E{index}", (index,), True, frozenset()) for index in range(len(lengths)))
    rules = tuple(day_gang(f"G{number}") for number in range(count))
    return Problem(horizon, tasks, (), (), (), rules, (), (), 1, units, (0,), 1.0)


def test_one_gang_needs_its_shifts_for_all_the_work() -> None:
    workshop = make_workshop(jobs_of([4, 4, 3], (0,), 1))
    assert finish_bound(workshop) == 4
    assert finish_bound_by_load(workshop, 4, 20) == 13  # eight slots on the first shift, three on the second


def test_two_gangs_share_the_work() -> None:
    workshop = make_workshop(jobs_of([4, 4, 4, 4, 2], (0, 1), 2))
    assert finish_bound_by_load(workshop, 0, 20) == 12  # at 11 there are nine slots a gang, but one of them too short


def test_work_that_may_be_cut_fills_every_slot() -> None:
    workshop = make_workshop(jobs_of([5, 6], (0,), 1, splittable=True))
    assert finish_bound_by_load(workshop, 0, 20) == 13


def test_plant_that_there_is_once_is_used_by_one_at_a_time() -> None:
    problem = jobs_of([4, 4, 4], (0, 1, 2), 3)
    tasks = tuple(replace(task, plant=(0,)) for task in problem.tasks)
    workshop = make_workshop(replace(problem, tasks=tasks, plant_counts=(1,)))
    assert finish_bound_by_load(workshop, 0, 20) == 14


def test_pools_are_the_sets_of_gangs_and_their_unions() -> None:
    problem = jobs_of([1, 1, 1], (0,), 3)
    wanted = ((0,), (1,), (0, 2))
    tasks = tuple(replace(task, gangs=gangs) for task, gangs in zip(problem.tasks, wanted, strict=True))
    found = set(pools(replace(problem, tasks=tasks)))
    assert found == {frozenset(one) for one in ((0,), (1,), (0, 2), (0, 1), (0, 1, 2))}


def test_no_audited_plan_ends_before_the_bound() -> None:
    job, weather = made_job(100, 2)
    workshop = make_workshop(build_problem(job, weather))
    search = Search(workshop, Aim.FINISH, 1, lambda: search.tried >= 40)
    search.first()
    search.improve(lambda _: False)
    assert search.best is not None
    assert audit(job, weather, make_plan(job, workshop, search.best, Aim.FINISH, 0.0)) == ()
    assert not is_too_early(workshop, search.best.finish)
