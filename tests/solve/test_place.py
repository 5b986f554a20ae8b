"""The chain generator against exhaustive search: exact alone, and sound together."""

from __future__ import annotations

import pytest

from planner.model import Aim
from planner.problem.parts import Problem
from planner.solve.bounds import bound
from planner.solve.closure_bounds import closures_bound
from planner.solve.exactness import is_exact
from planner.solve.place import Stuck
from planner.solve.schedule import Choice, Schedule, lay_alone, lay_out, make_workshop, worth
from planner.solve.search import Search
from tests.solve.tiny import earliest_finish, keeps_all, random_problem


def lay(problem: Problem) -> Schedule | None:
    workshop = make_workshop(problem)
    order = tuple(range(len(problem.units)))
    laid = lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs))
    return laid if isinstance(laid, Schedule) else None


@pytest.mark.parametrize("seed", range(300))
def test_one_chain_alone_is_laid_at_its_earliest_or_not_at_all(seed: int) -> None:
    problem = random_problem(seed)
    laid = lay(problem)
    assert is_exact(problem, 0)
    assert (laid and laid.finish) == earliest_finish(problem)
    assert laid is None or keeps_all(problem, laid.placed)


def test_both_outcomes_are_among_the_random_chains() -> None:
    outcomes = [lay(random_problem(seed)) is not None for seed in range(300)]
    assert 60 < sum(outcomes) < 280


@pytest.mark.parametrize("seed", range(1000, 1060))
def test_two_chains_together_keep_all_rules_and_no_bound_is_beaten(seed: int) -> None:
    problem = random_problem(seed, elements=2)
    workshop = make_workshop(problem)
    earliest = earliest_finish(problem)
    search = Search(workshop, Aim.FINISH, seed, lambda: search.tried >= 60)
    best = search.first()
    if best is not None:
        assert keeps_all(problem, best.placed)
        assert earliest is not None
        assert earliest <= best.finish
    if any(isinstance(lay_alone(workshop, unit.index), Stuck) for unit in problem.units):
        assert earliest is None
        return
    lowest = bound(workshop, Aim.FINISH)
    assert lowest is not None
    assert earliest is None or lowest <= earliest


@pytest.mark.parametrize("seed", range(2000, 2020))
def test_closure_bounds_are_never_beaten_by_what_the_search_finds(seed: int) -> None:
    problem = random_problem(seed, elements=3)
    workshop = make_workshop(problem)
    search = Search(workshop, Aim.CLOSURES, seed, lambda: search.tried >= 80)
    if search.first() is None:
        return
    search.improve(lambda _: False)
    assert search.best is not None
    fewest, money = closures_bound(workshop)
    assert fewest <= len(search.best.closures)
    assert money <= sum(problem.closures[index].cost for index in search.best.closures)
    cost_floor = bound(workshop, Aim.COST)
    assert cost_floor is not None
    assert cost_floor <= worth(problem, search.best, Aim.COST)[0]


def test_same_seed_and_trials_give_the_same_schedule() -> None:
    problem = next(p for p in (random_problem(seed, elements=3) for seed in range(50)) if lay(p) is not None)
    results = []
    for _ in range(2):
        search = Search(make_workshop(problem), Aim.COST, 7, lambda s=[]: s.append(1) or len(s) > 200)
        search.first()
        search.improve(lambda _: False)
        results.append(search.best and search.best.placed)
    assert results[0] == results[1]
