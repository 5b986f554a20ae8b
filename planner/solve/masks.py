"""Slot sets that don't change while the search tries orders: where each task may start, alone in the world."""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.problem import bits
from planner.problem.parts import Problem, Task


@dataclass(frozen=True, eq=False)
class Masks:
    """Per task and gang (same order as `task.gangs`), and per task and closure.

    starts: slots at which an unbroken visit of the whole length may start (shift, light, weather, protection).
    work: slots in which a cut task may work; barriers: slots at which a visit must have ended.
    within: for each closure, slots at which the whole length still fits into its work window.
    """

    problem: Problem
    starts: tuple[tuple[int, ...], ...]
    work: tuple[tuple[int, ...], ...]
    within: tuple[tuple[int, ...], ...]
    windows: tuple[int, ...]
    _in_any: dict[tuple[int, frozenset[int]], int] = field(default_factory=dict, repr=False)

    def starts_in_any(self, task: int, allowed: frozenset[int]) -> int:
        """Return the slots at which the task fits into one of the `allowed` closures that shut its lanes."""
        mask = self._in_any.get((task, allowed))
        if mask is None:
            mask = 0
            for closure in self.problem.tasks[task].closures or ():
                if closure in allowed:
                    mask |= self.within[task][closure]
            self._in_any[task, allowed] = mask
        return mask


def make_masks(problem: Problem) -> Masks:
    """Return the slot sets of `problem`."""
    windows = tuple(bits.span(closure.start, closure.finish) for closure in problem.closures)
    lengths = {task.length for task in problem.tasks}
    within = {length: tuple(bits.runs(window, length) for window in windows) for length in lengths}
    starts = _Starts(problem)
    return Masks(
        problem=problem,
        starts=tuple(tuple(starts.of(task, gang) for gang in task.gangs) for task in problem.tasks),
        work=tuple(tuple(_work(problem, task, gang) for gang in task.gangs) for task in problem.tasks),
        within=tuple(within[task.length] for task in problem.tasks),
        windows=windows,
    )


class _Starts:
    """Starts of unbroken visits; tasks alike in length, light and weather share them."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._known: dict[tuple[int, int, int, int, int, bool], int] = {}

    def of(self, task: Task, gang: int) -> int:
        """Return the slots at which an unbroken visit of `gang` may start."""
        key = (gang, task.length, task.good, task.ends, task.starts, task.any_time)
        if key not in self._known:
            unbroken = bits.runs(_work(self._problem, task, gang), task.length)
            if not task.any_time and task.length > 1:
                unbroken &= ~_cut_by(self._problem.gangs[gang].starts, task.length)
            self._known[key] = unbroken & (task.ends >> task.length) & task.starts
        return self._known[key]


def _work(problem: Problem, task: Task, gang: int) -> int:
    return task.good if task.any_time else task.good & problem.gangs[gang].shifts


def _cut_by(barriers: int, length: int) -> int:
    """Return the starts of runs of `length` slots that have a barrier strictly inside."""
    return bits.widen(barriers >> 1, length - 2, 0)
