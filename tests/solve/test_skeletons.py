"""Schedules about one part: every rule holds, the part ends in time, and the same question has the same answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from planner.model import Aim
from planner.problem import bits
from planner.problem.parts import Problem
from planner.solve.exact import Limits
from planner.solve.schedule import Schedule, Workshop, make_workshop
from planner.solve.search import Search
from planner.solve.skeletons import Skeletons, crowds, with_own_gangs
from tests.solve.tiny import keeps_all, random_problem

LIMITS = Limits(60.0, 2.0)


def firsts(seeds: int, elements: int = 2) -> Iterator[tuple[Workshop, Schedule]]:
    """Yield the workshop and a first schedule of each small problem that has one."""
    for seed in range(seeds):
        workshop = make_workshop(random_problem(seed, elements=elements))
        search = Search(workshop, Aim.FINISH, seed, lambda: search.tried >= 30)  # noqa: B023 - asked at once
        found = search.first()
        if found is not None:
            yield workshop, found


def never() -> bool:
    return False


def test_every_unit_and_every_working_gang_is_in_one_crowd() -> None:
    for workshop, schedule in firsts(60, elements=3):
        problem = workshop.problem
        found = crowds(problem, schedule)
        bound = [task.index for task in problem.tasks if not task.any_time]
        working = {unit.index for unit in problem.units if not set(unit.tasks).isdisjoint(bound)}
        assert sorted(unit for crowd in found for unit in crowd.units) == sorted(working)
        assert sorted(gang for crowd in found for gang in crowd.gangs) == sorted(
            {schedule.placed[task].gang for task in bound}
        )


def test_what_is_made_about_a_part_keeps_every_rule_and_repeats() -> None:
    made = 0
    for workshop, schedule in firsts(300):
        one, same = Skeletons(workshop), Skeletons(workshop)
        for _ in range(3):
            found = one.next(schedule, 0.0, LIMITS, never)
            assert found == same.next(schedule, 0.0, LIMITS, never)
            if found is not None:
                made += 1
                assert keeps_all(workshop.problem, found.placed)
    assert made > 10


def test_a_part_is_not_looked_for_past_a_stop() -> None:
    for workshop, schedule in firsts(60, elements=3):
        assert Skeletons(workshop).next(schedule, 0.0, LIMITS, lambda: True) is None


def with_late_gang(problem: Problem) -> Problem:
    """Return the problem with a gang more, which can do everything but comes to site last."""
    late = replace(problem.gangs[0], shifts=bits.span(problem.horizon - 4, problem.horizon))
    tasks = tuple(replace(task, gangs=(*task.gangs, len(problem.gangs))) for task in problem.tasks)
    return replace(problem, gangs=(*problem.gangs, late), tasks=tasks)


def test_own_gangs_do_what_they_can_and_others_the_rest() -> None:
    problem = with_late_gang(random_problem(1, elements=2))
    own = with_own_gangs(problem, frozenset({0}))
    for before, after in zip(problem.tasks, own.tasks, strict=True):
        assert after.gangs == ((0,) if 0 in before.gangs else before.gangs)
