"""Units laid again: every rule still holds, the rest stays where it is, and what waits for a unit goes with it."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from planner.model import Aim
from planner.solve.place import book_unit, booked
from planner.solve.profile import Profile
from planner.solve.renewal import Renewal, lateness, renewed
from planner.solve.schedule import Schedule, Workshop, make_workshop
from planner.solve.search import Search
from tests.solve.tiny import keeps_all, random_problem

SEEDS = range(40)


def firsts() -> Iterator[tuple[int, Workshop, Schedule]]:
    """Yield the seed, the workshop and a first schedule of each tiny problem that has one."""
    for seed in SEEDS:
        workshop = make_workshop(random_problem(seed, elements=2))
        search = Search(workshop, Aim.FINISH, seed, lambda: search.tried >= 30)  # noqa: B023 - asked at once
        found = search.first()
        if found is not None:
            yield seed, workshop, found


def test_what_is_laid_again_keeps_every_rule_and_the_rest_stays() -> None:
    made = 0
    for _seed, workshop, schedule in firsts():
        for unit in workshop.problem.units:
            if any(unit.index in other.needs for other in workshop.problem.units):
                continue
            again = renewed(workshop, schedule, [unit.index])
            if not isinstance(again, Schedule):
                continue
            made += 1
            assert keeps_all(workshop.problem, again.placed)
            rest = [task.index for task in workshop.problem.tasks if task.index not in unit.tasks]
            assert [again.placed[task] for task in rest] == [schedule.placed[task] for task in rest]
    assert made > 20


def test_draws_keep_every_rule_and_repeat_with_the_same_seed() -> None:
    made = 0
    for seed, workshop, schedule in firsts():
        one, same = (Renewal(workshop, random.Random(seed)) for _ in range(2))
        for _ in range(5):
            again = one.of(schedule)
            assert again == same.of(schedule)
            if isinstance(again, Schedule):
                made += 1
                assert keeps_all(workshop.problem, again.placed)
    assert made > 50


def test_booked_at_once_is_booked_one_by_one() -> None:
    compared = 0
    for _seed, workshop, schedule in firsts():
        problem = workshop.problem
        slow = Profile(problem)
        for unit in schedule.choice.order:
            tasks = [schedule.placed[task] for task in problem.units[unit].tasks]
            book_unit(problem, workshop.rules[unit], slow, tasks)
        placed = {one.task: one for one in schedule.placed}
        quick = booked(problem, (workshop.rules[unit] for unit in schedule.choice.order), placed)
        assert quick.blocked == slow.blocked
        assert quick.closures_used == slow.closures_used
        assert [_taken(units) for units in quick.plant] == [_taken(units) for units in slow.plant]
        compared += 1
    assert compared > 10


def _taken(units: list[int]) -> dict[int, int]:
    """Return how many units of plant are busy in each slot: which one it is may differ."""
    counts: dict[int, int] = {}
    for busy in units:
        for slot in range(busy.bit_length()):
            if busy >> slot & 1:
                counts[slot] = counts.get(slot, 0) + 1
    return counts


@pytest.mark.parametrize(("better", "worse"), [([10, 8, 4], [10, 9, 4]), ([5, 3], [5, 4]), ([9, 4, 4], [10, 4, 4])])
def test_an_earlier_finish_of_any_late_unit_counts(better: list[int], worse: list[int]) -> None:
    assert lateness(better) < lateness(worse)
    assert lateness([10, 1]) > lateness([9, 2]), "the last finish counts most"
