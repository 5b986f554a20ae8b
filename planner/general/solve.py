"""Solve a general problem: tighten, lay a first schedule, close in from below, then search for a proof."""

from __future__ import annotations

from dataclasses import dataclass, field
from time import perf_counter
from typing import TYPE_CHECKING

from planner.general.check import breaches
from planner.general.distances import Contradiction
from planner.general.improve import schedules
from planner.general.lay import Layer
from planner.general.problem import GeneralProblem
from planner.general.result import GeneralListener, Result, Status
from planner.general.windows import Tightened, finish_by, safe_horizon, tightened

if TYPE_CHECKING:
    from planner.general.exact import Phase

PLACINGS = 500
"""Placings of one activity that the first schedules may cost, beside PLACINGS_EACH for each activity."""
PLACINGS_EACH = 20
WITHOUT_SCHEDULE = 25
"""Until there is a first schedule, this many activities allow once as much again: CP-SAT is slow to find one then."""
FIRST_SHARE = 0.5
"""Of all the time, at most this is spent before the exact search."""


def solve_general(
    problem: GeneralProblem,
    seconds: float = 20.0,
    workers: int = 2,
    seed: int = 1,
    listener: GeneralListener | None = None,
) -> Result:
    """Return the schedule with the earliest last finish that `seconds` allow, and a proved bound.

    The same seed with one worker gives the same schedule wherever the proof ends in time.
    """
    solve = _Solve(problem, seconds, seed, listener or GeneralListener())
    try:
        known = tightened(problem)
        solve.raise_bound(known.bound())
        solve.lay_first(known)
        solve.close_in(known)
        if not solve.over():
            solve.search(known, workers)
    except Contradiction:
        solve.refuted()
    return solve.result()


@dataclass
class _Solve:
    """One solve: the best schedule, the bound below it, and the time left."""

    problem: GeneralProblem
    seconds: float
    seed: int
    listener: GeneralListener
    began: float = field(default_factory=perf_counter)
    finish: int | None = None
    starts: tuple[int, ...] | None = None
    bound: int = 0
    impossible: bool = False

    def __post_init__(self) -> None:
        self.until = self.began + self.seconds

    def lay_first(self, known: Tightened) -> None:
        """Lay a few schedules, until the bound is met or the placings allowed are used up."""
        layer = Layer(known, taken_up_at_most=10 + len(known.lengths) // 4, stop=self.stopped)
        allowed = PLACINGS + PLACINGS_EACH * len(known.lengths)
        until = self.began + FIRST_SHARE * self.seconds

        def stop() -> bool:
            patience = 1 if self.finish is not None else 1 + len(known.lengths) // WITHOUT_SCHEDULE
            return layer.placings >= patience * allowed or perf_counter() >= until or self.stopped()

        for finish, starts in schedules(layer, self.seed, self.bound, stop):
            self.better(finish, starts)

    def close_in(self, known: Tightened) -> None:
        """Raise the bound to the first last finish that windows, calendars and pairs do not refute."""
        low = self.bound
        high = safe_horizon(self.problem) if self.finish is None else self.finish
        while low < high and not self.stopped():
            middle = (low + high) // 2
            try:
                finish_by(known.copy(), middle)
                high = middle
            except Contradiction:
                low = middle + 1
                self.raise_bound(low)

    def search(self, known: Tightened, workers: int) -> None:
        """Search for better schedules until the best is proved, or time is up."""
        from planner.general.exact import phases

        for phase in phases(workers, self.seed):
            if not self.over():
                self._search(known, phase)

    def _search(self, known: Tightened, phase: Phase) -> None:
        from planner.general.exact import search

        horizon = safe_horizon(self.problem) if self.finish is None else self.finish
        narrowed = known.copy()
        finish_by(narrowed, horizon)
        seconds = phase.share * (self.until - perf_counter())
        found = search(narrowed, horizon, self.bound, self.starts, phase, seconds, _Better(self))
        if found.starts is not None:
            self.better(self.problem.finish_of(found.starts), found.starts)
        self.raise_bound(found.bound)
        if found.status is Status.INFEASIBLE:
            raise Contradiction

    def better(self, finish: int, starts: tuple[int, ...]) -> None:
        """Keep a schedule if it is better than all before."""
        if self.finish is None or finish < self.finish:
            self.finish, self.starts = finish, starts
            self.listener.on_better(starts, finish, perf_counter() - self.began)

    def raise_bound(self, bound: int) -> None:
        """Note that nothing finishes before `bound`."""
        if bound > self.bound:
            self.bound = bound
            self.listener.on_bound(bound, perf_counter() - self.began)

    def refuted(self) -> None:
        """Note that nothing finishes before the best schedule, or that there is none at all."""
        if self.finish is None:
            self.impossible = True
        else:
            self.raise_bound(self.finish)

    def stopped(self) -> bool:
        """Say whether time is up, or the listener wants no more."""
        return perf_counter() >= self.until or self.listener.stop()

    def over(self) -> bool:
        """Say whether nothing is left to search for."""
        return self.finish == self.bound or self.stopped()

    def result(self) -> Result:
        """Return what was found, checked once more from the problem alone."""
        seconds = perf_counter() - self.began
        if self.impossible:
            return Result(Status.INFEASIBLE, None, None, self.bound, seconds)
        if self.starts is None:
            return Result(Status.UNKNOWN, None, None, self.bound, seconds)
        broken = breaches(self.problem, self.starts)
        if broken:
            raise RuntimeError(f"the search broke its own rules: {'; '.join(broken)}")
        status = Status.PROVED if self.finish == self.bound else Status.FEASIBLE
        return Result(status, self.starts, self.finish, self.bound, seconds)


class _Better(GeneralListener):
    """Keeps what the exact search finds on the way, so that a stop loses nothing."""

    def __init__(self, solve: _Solve) -> None:
        self._solve = solve

    def on_better(self, starts: tuple[int, ...], makespan: int, _seconds: float) -> None:
        self._solve.better(makespan, starts)

    def on_bound(self, bound: int, _seconds: float) -> None:
        self._solve.raise_bound(bound)

    def stop(self) -> bool:
        return self._solve.listener.stop()
