"""Every answer of the general interface against trying all starts; stopping, listening, and what is imported when."""

from __future__ import annotations

import subprocess
import sys

import pytest

from planner.general import Activity, GeneralListener, GeneralProblem, Lag, Resource, Status, breaches, solve_general
from planner.general.distances import Contradiction
from planner.general.exact import phases, search
from planner.general.windows import safe_horizon, tightened
from planner.intervals import Interval
from tests.general.exhaustive import best_finish, holds, tiny_problem

TINY = 300
BLOCKS = 6


@pytest.mark.parametrize("block", range(BLOCKS))
def test_tiny_problems_have_the_finish_that_trying_all_starts_finds(block: int) -> None:
    for seed in range(block, TINY, BLOCKS):
        problem = tiny_problem(seed)
        best = best_finish(problem, safe_horizon(problem))
        result = solve_general(problem, seconds=60, workers=1)
        assert result.makespan == best, f"seed {seed}: {problem}"
        assert result.status is (Status.INFEASIBLE if best is None else Status.PROVED), f"seed {seed}"
        assert result.starts is None or (holds(problem, result.starts) and result.bound == best)


def test_the_exact_search_alone_finds_the_same() -> None:
    """Most tiny problems are closed before the exact search: here it gets them all, and no schedule to begin from."""
    found = []
    for seed in range(0, TINY, 3):
        problem = tiny_problem(seed)
        best, horizon = best_finish(problem, safe_horizon(problem)), safe_horizon(problem)
        try:
            known = tightened(problem)
        except Contradiction:
            assert best is None, seed
            continue
        searched = search(known, horizon, 0, None, phases(1, 1)[0], 60.0, GeneralListener())
        assert searched.status is (Status.INFEASIBLE if best is None else Status.PROVED), seed
        assert searched.starts is None or (
            holds(problem, searched.starts) and problem.finish_of(searched.starts) == best
        )
        found.append(best)
    assert len(found) > 50


def test_an_empty_problem_is_finished_at_once() -> None:
    result = solve_general(GeneralProblem(()))
    assert (result.status, result.starts, result.makespan, result.bound) == (Status.PROVED, (), 0, 0)


def test_two_coats_inside_their_gap_and_two_night_closures() -> None:
    """A coat of 2, another 3 to 6 after its start, on closures 0-4 and 8-12: the first waits late in its night.

    The gap can't be kept from start 0 or 1 (the second would lie in the day), 2 + 6 = 8 is the only way.
    """
    nights = (Resource(1, (Interval(0, 4), Interval(8, 12))),)
    result = solve_general(GeneralProblem((Activity(2, (1,)), Activity(2, (1,))), (Lag(0, 1, 3, 6),), nights))
    assert (result.status, result.starts, result.makespan) == (Status.PROVED, (2, 8), 10)


#: Twelve activities of uneven length and demand on two resources: not closed by its bounds.
TWELVE = GeneralProblem(
    tuple(Activity(2 + n * 7 % 5, (1 + n % 3, 1 + n * 5 % 4)) for n in range(12)),
    tuple(Lag(n, n + 3, 1 + n % 2, 9) for n in range(0, 9, 2)),
    (Resource(4), Resource(5)),
)


class Heard(GeneralListener):
    """Notes everything."""

    def __init__(self, stop_after: int | None = None) -> None:
        self.finishes: list[int] = []
        self.bounds: list[int] = []
        self._stop_after = stop_after

    def on_better(self, starts: tuple[int, ...], makespan: int, seconds: float) -> None:
        assert breaches(TWELVE, starts) == ()
        self.finishes.append(makespan)

    def on_bound(self, bound: int, seconds: float) -> None:
        self.bounds.append(bound)

    def stop(self) -> bool:
        return self._stop_after is not None and len(self.finishes) >= self._stop_after


def test_the_listener_hears_finishes_fall_and_bounds_rise_until_they_meet() -> None:
    heard = Heard()
    result = solve_general(TWELVE, seconds=60, listener=heard)
    assert result.status is Status.PROVED
    assert heard.finishes == sorted(set(heard.finishes), reverse=True)
    assert heard.bounds == sorted(set(heard.bounds))
    assert heard.finishes[-1] == result.makespan == result.bound


def test_a_stop_keeps_the_best_so_far() -> None:
    heard = Heard(stop_after=1)
    result = solve_general(TWELVE, seconds=60, listener=heard)
    assert result.makespan == heard.finishes[-1]
    assert result.starts is not None
    assert breaches(TWELVE, result.starts) == ()


def test_a_stop_during_the_exact_search_ends_it() -> None:
    class AtOnce(GeneralListener):
        def stop(self) -> bool:
            return True

    problem = GeneralProblem(
        tuple(Activity(3 + n * 11 % 13, tuple(1 + n * k % 5 for k in (3, 7, 11))) for n in range(60)),
        tuple(Lag(n, n + 5, 2) for n in range(0, 55, 3)),
        (Resource(7), Resource(7), Resource(7)),
    )
    searched = search(tightened(problem), safe_horizon(problem), 0, None, phases(1, 1)[0], 600.0, AtOnce())
    assert searched.status in (Status.FEASIBLE, Status.UNKNOWN)


def test_no_time_at_all_is_no_proof() -> None:
    result = solve_general(TWELVE, seconds=0.0)
    assert result.status in (Status.FEASIBLE, Status.UNKNOWN)
    assert result.bound > 0


def test_one_worker_and_one_seed_give_one_schedule() -> None:
    first, second = (solve_general(TWELVE, seconds=60, workers=1, seed=3) for _ in range(2))
    assert first.starts == second.starts


def test_the_package_loads_without_the_exact_solver() -> None:
    words = "import sys, planner.general; print('ortools' in sys.modules)"
    assert (
        subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout == "False\n"
    )
