"""Money with overtime, least change and aims in order: the exact core against trying every schedule."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from planner.model import Aim
from planner.problem.parts import GangRule, Placed, Problem, Visit
from planner.solve.exact import Limits, Verdict, solve_exactly
from planner.solve.exact_scope import Scope, whole_scope
from planner.solve.schedule import Choice, Schedule, changes, cost, make_workshop, worth
from tests.solve.tiny import HORIZON, every_schedule, keeps_all, random_problem

LIMITS = Limits(seconds=60.0)
CHOICE = Choice((), frozenset(), ())


def never() -> bool:
    return False


def with_closures(problem: Problem, placed: tuple[Placed, ...]) -> tuple[Placed, ...] | None:
    """Return a schedule of `every_schedule` with a closure for each visit that needs one, the cheapest in all."""
    return min(closed(problem, placed, 0), key=lambda one: _closure_cost(problem, one), default=None)


def closed(problem: Problem, placed: tuple[Placed, ...], first: int) -> list[tuple[Placed, ...]]:
    if first == len(placed):
        return [placed]
    one, task = placed[first], problem.tasks[first]
    stretch = next((s for s in problem.stretches if first in s.members), None)
    among = stretch.closures if stretch else task.closures
    if among is None:
        return closed(problem, placed, first + 1)
    if task.closures is not None and stretch:
        among = tuple(closure for closure in among if closure in task.closures)
    found = []
    for closure in among:
        rule = problem.closures[closure]
        ours = [placed[member].visits[0].closure for member in stretch.members if member < first] if stretch else []
        if rule.start <= one.start and one.finish <= rule.finish and all(other == closure for other in ours):
            fits = [opens[placed[t].finish] for t, opens in stretch.fits] if stretch else []
            if all(fit <= rule.finish for fit in fits):
                shut = replace(one, visits=(replace(one.visits[0], closure=closure),))
                found += closed(problem, (*placed[:first], shut, *placed[first + 1 :]), first + 1)
    return found


def _closure_cost(problem: Problem, placed: tuple[Placed, ...]) -> float:
    return sum(problem.closures[c].cost for c in {one.visits[0].closure for one in placed} - {None})


def schedules(problem: Problem) -> list[Schedule]:
    shut = (with_closures(problem, placed) for placed in every_schedule(problem))
    return [Schedule(placed, CHOICE) for placed in shut if placed is not None]


def with_overtime(problem: Problem, draw: random.Random) -> Problem:
    """Return the problem with wages that end before the shifts do, some off the slots, and a price after that."""

    def paid(gang: GangRule) -> GangRule:
        until = tuple(end - draw.choice((0.0, 1.0, 7 / 15, 2.0)) for _, end in gang.shift_spans)
        return replace(gang, paid_until=until, overtime_cost=tuple(draw.choice((0.0, 3.0, 8.75)) for _ in until))

    return replace(problem, gangs=tuple(paid(gang) for gang in problem.gangs), chosen_cost=12.5)


@pytest.mark.parametrize("seed", range(40))
def test_the_least_money_is_that_of_all_schedules(seed: int) -> None:
    problem = with_overtime(random_problem(seed), random.Random(seed))
    every = schedules(problem)
    found = solve_exactly(whole_scope(make_workshop(problem)), Aim.COST, LIMITS, never)
    if not every:
        assert found.verdict is Verdict.NONE
        return
    assert found.placed is not None
    least = min(cost(problem, one) for one in every)
    assert found.bound == pytest.approx(least, abs=0.01)
    assert cost(problem, Schedule(tuple(sorted(found.placed, key=lambda one: one.task)), CHOICE)) == pytest.approx(
        least, abs=0.01
    )


def issued(problem: Problem, draw: random.Random) -> Problem:
    """Return the problem with places by lot for most of its tasks, as if handed out before; they need not hold."""
    tasks = []
    for task in problem.tasks:
        start = draw.randrange(HORIZON - task.length)
        at = Placed(task.index, draw.choice(task.gangs), (Visit(start, start + task.length, None),))
        way = "other" if draw.random() < 0.15 else None
        tasks.append(task if draw.random() < 0.15 else replace(task, issued=at, issued_way=way))
    return replace(problem, tasks=tuple(tasks), vanished=draw.randrange(3))


@pytest.mark.parametrize("seed", [*range(40), *range(1000, 1030)])
def test_the_least_change_is_that_of_all_schedules(seed: int) -> None:
    draw = random.Random(seed)
    problem = issued(random_problem(seed, elements=1 if seed < 1000 else 2), draw)
    least = min((changes(problem, placed) for placed in every_schedule(problem)), default=None)
    found = solve_exactly(whole_scope(make_workshop(problem)), Aim.CHANGE, LIMITS, never)
    if least is None:
        assert found.verdict is Verdict.NONE
        return
    assert found.placed is not None
    assert keeps_all(problem, tuple(sorted(found.placed, key=lambda one: one.task)))
    assert (changes(problem, found.placed), found.bound) == (least, least[0])


@pytest.mark.parametrize("seed", range(25))
def test_a_second_aim_is_best_among_the_best_at_the_first(seed: int) -> None:
    draw = random.Random(seed)
    problem = with_overtime(issued(random_problem(seed), draw), draw)
    every = schedules(problem)
    if not every:
        return
    first, second = draw.sample([Aim.FINISH, Aim.CLOSURES, Aim.COST, Aim.CHANGE], 2)
    best = min(worth(problem, one, first)[0] for one in every)
    least = min(worth(problem, one, second)[0] for one in every if worth(problem, one, first)[0] <= best + 1e-6)
    scope: Scope = whole_scope(make_workshop(problem))
    found = solve_exactly(scope, second, LIMITS, never, caps=((first, best),))
    assert found.placed is not None
    assert found.bound == pytest.approx(least, abs=0.01)
