"""Bounds on the finish by refutation: a part of the job that can't end by some slot shows that no plan can.

A tight last slot cuts every window, so that much is refuted which the search for a least finish never reaches.
Two kinds of part are asked in turn: the units that end last when each is alone, and what competes most with the
unit that ends last in the best plan. A part that can end in time tells nothing, and is asked again with more units.
Before that a larger part is asked without the gangs' moves: that model is so much lighter that it goes further.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from planner.model import Aim
from planner.problem.parts import Problem
from planner.solve.bounds import finish_bound
from planner.solve.exact import Limits, Verdict, find_any, solve_exactly
from planner.solve.exact_bounds import around_last, only
from planner.solve.exact_parts import Moves
from planner.solve.exact_scope import whole_scope
from planner.solve.schedule import Schedule, Workshop, end_alone, make_workshop, needs_of

FIRST_TASKS, MOST_TASKS = 110, 400
GROWTH = 1.5
LOOSE_TASKS, MOST_LOOSE, FIRST_LOOSE_SHARE, NEARER = 150, 4, 0.35, 0.7
"""Tasks asked without moves, how often in a row, how far above the floor, and how much nearer after a vain one."""


@dataclass
class _Kind:
    """One kind of part: how many tasks it takes next, and how far above the floor it aims [share of the gap]."""

    hardest: bool
    tasks: float = FIRST_TASKS
    share: float = 0.5


class Floors:
    """Raises the bound on the finish of one problem, one part at a time."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._kinds = [_Kind(True), _Kind(False)]
        self._asked = 0
        self._alone: int | None = None
        self._loose_share = FIRST_LOOSE_SHARE

    def raised_without_moves(self, best: Schedule, floor: int, limits: Limits, stop: Callable[[], bool]) -> int:
        """Return a slot before which no plan finishes, by the hardest part of a longer job without its moves."""
        units = self._hardest(self._workshop.problem, LOOSE_TASKS)
        if len(units) == len(self._workshop.problem.units):
            return floor
        part = make_workshop(only(self._workshop.problem, units))
        for _ in range(MOST_LOOSE):
            latest = floor + int((best.finish - 1 - floor) * self._loose_share)
            if latest >= best.finish or stop():
                break
            verdict = find_any(whole_scope(part, latest), limits, stop, moves=Moves.LEFT_OUT).verdict
            if verdict is Verdict.UNKNOWN:
                self._loose_share *= 0.5
                break
            refuted = verdict is Verdict.NONE
            floor = latest + 1 if refuted else floor
            self._loose_share = min(1.0, self._loose_share * (1.4 if refuted else NEARER))
        return floor

    def raised(self, best: Schedule, floor: int, limits: Limits, stop: Callable[[], bool]) -> int:
        """Return a slot before which no plan finishes, at least `floor`; `best` is a plan that is known."""
        if self._alone is None:
            self._alone = finish_bound(self._workshop) or 0
        floor = max(floor, self._alone)
        kind = self._kinds[self._asked % len(self._kinds)]
        self._asked += 1
        latest = floor + max(0, int((best.finish - 1 - floor) * kind.share))
        if latest >= best.finish:
            return floor
        units = self._units(kind, best)
        part = make_workshop(only(self._workshop.problem, units))
        found = solve_exactly(whole_scope(part, latest), Aim.FINISH, limits, stop)
        if stop():
            return floor
        if found.verdict is Verdict.NONE:
            kind.share = min(1.0, kind.share * 1.4)
            return latest + 1
        whole = len(units) == len(self._workshop.problem.units)
        if found.verdict is Verdict.UNKNOWN:
            kind.share *= 0.5
        elif not whole:
            kind.tasks = min(MOST_TASKS, kind.tasks * GROWTH)
        return max(floor, min(latest + 1, int(found.bound or 0)))

    def _units(self, kind: _Kind, best: Schedule) -> tuple[int, ...]:
        problem, size = self._workshop.problem, int(kind.tasks)
        return self._hardest(problem, size) if kind.hardest else around_last(problem, best, size)

    def _hardest(self, problem: Problem, size: int) -> tuple[int, ...]:
        """Return the units that end last when alone, and what must come before them, to about `size` tasks."""
        ends = [end_alone(self._workshop, unit.index) or 0 for unit in problem.units]
        chosen: set[int] = set()
        for unit in sorted(range(len(ends)), key=lambda unit: -ends[unit]):
            more = chosen | {unit, *needs_of(problem, unit)}
            if chosen and sum(len(problem.units[one].tasks) for one in more) > size:
                break
            chosen = more
        return tuple(sorted(chosen))
