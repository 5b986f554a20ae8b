"""Bounds by refutation: never above the earliest finish that exhaustive search finds, and in the end at it."""

from __future__ import annotations

import pytest

from planner.model import Aim
from planner.solve import floors
from planner.solve.bounds import finish_bound
from planner.solve.exact import Limits, Verdict, find_any
from planner.solve.exact_parts import Moves
from planner.solve.exact_scope import whole_scope
from planner.solve.floors import Floors
from planner.solve.schedule import Schedule, make_workshop
from planner.solve.search import Search
from tests.solve.tiny import earliest_finish, random_problem

LIMITS = Limits(60.0)


def raised(seed: int, times: int) -> tuple[int, int, Schedule] | None:
    """Return the bound after so many parts, the earliest finish, and the plan that was known; None without a plan."""
    problem = random_problem(seed, elements=2)
    workshop = make_workshop(problem)
    search = Search(workshop, Aim.FINISH, seed, lambda: search.tried >= 30)
    best, expected = search.first(), earliest_finish(problem)
    if best is None or expected is None:
        return None
    asked, floor = Floors(workshop), 0
    for _ in range(times):
        floor = asked.raised(best, floor, LIMITS, lambda: False)
    return floor, expected, best


@pytest.mark.parametrize("tasks", [2, 200])
def test_the_bound_never_passes_the_earliest_finish(tasks: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(floors, "FIRST_TASKS", tasks)
    monkeypatch.setattr(floors, "GROWTH", 1.0)
    found = [made for seed in range(24) if (made := raised(seed, 4)) is not None]
    assert len(found) > 10
    assert all(floor <= expected for floor, expected, _ in found)
    assert any(floor > 0 for floor, _, _ in found)


def test_asked_of_the_whole_job_the_bound_reaches_the_earliest_finish() -> None:
    found = [made for seed in range(8) if (made := raised(seed, 24)) is not None]
    assert found
    assert [floor for floor, _, _ in found] == [expected for _, expected, _ in found]


def test_a_stop_leaves_the_bound_as_it_was() -> None:
    workshop = make_workshop(random_problem(1, elements=2))
    search = Search(workshop, Aim.FINISH, 1, lambda: search.tried >= 30)
    best = search.first()
    assert best is not None
    assert Floors(workshop).raised(best, 0, LIMITS, lambda: True) == finish_bound(workshop)


@pytest.mark.parametrize("seed", [*range(8), *range(1000, 1012)])
def test_a_schedule_that_ends_in_time_is_never_refuted_without_moves(seed: int) -> None:
    problem = random_problem(seed, elements=1 if seed < 1000 else 2)
    expected = earliest_finish(problem)
    if expected is not None:
        scope = whole_scope(make_workshop(problem), expected)
        assert find_any(scope, LIMITS, lambda: False, moves=Moves.LEFT_OUT).verdict is Verdict.BETTER


def test_most_that_ends_too_early_is_refuted_without_moves() -> None:
    refuted = asked = 0
    for seed in range(1000, 1012):
        problem = random_problem(seed, elements=2)
        expected = earliest_finish(problem)
        if expected is not None:
            asked += 1
            scope = whole_scope(make_workshop(problem), expected - 1)
            refuted += find_any(scope, LIMITS, lambda: False, moves=Moves.LEFT_OUT).verdict is Verdict.NONE
    assert asked > 3
    assert refuted > asked // 2


def test_a_part_without_moves_never_passes_the_earliest_finish(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(floors, "LOOSE_TASKS", 2)
    found = 0
    for seed in range(16):
        problem = random_problem(seed, elements=2)
        workshop, expected = make_workshop(problem), earliest_finish(problem)
        search = Search(workshop, Aim.FINISH, seed, lambda: search.tried >= 30)  # noqa: B023 - asked at once
        best = search.first()
        if best is not None and expected is not None:
            floor = Floors(workshop).raised_without_moves(best, 0, LIMITS, lambda: False)
            found += floor > 0
            assert floor <= expected
    assert found > 3
