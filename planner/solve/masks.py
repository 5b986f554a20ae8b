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
    alike: per gang, the first gang with the same shifts, so with the same slot sets for every task.
    """

    problem: Problem
    starts: tuple[tuple[int, ...], ...]
    work: tuple[tuple[int, ...], ...]
    within: tuple[tuple[int, ...], ...]
    windows: tuple[int, ...]
    alike: tuple[int, ...]
    _shut: dict[tuple[int, frozenset[int]], int] = field(default_factory=dict, repr=False)
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

    def shut_for(self, task: int, allowed: frozenset[int]) -> int:
        """Return the slots of all `allowed` closures that shut the task's lanes; every slot where it needs none."""
        mask = self._shut.get((task, allowed))
        if mask is None:
            closures = self.problem.tasks[task].closures
            mask = -1 if closures is None else 0
            for closure in closures or ():
                if closure in allowed:
                    mask |= self.windows[closure]
            self._shut[task, allowed] = mask
        return mask


def make_masks(problem: Problem) -> Masks:
    """Return the slot sets of `problem`."""
    windows = tuple(bits.span(closure.start, closure.finish) for closure in problem.closures)
    lengths = {task.length for task in problem.tasks}
    within = {length: tuple(bits.runs(window, length) for window in windows) for length in lengths}
    sets = _SlotSets(problem)
    both = [sets.of(task) for task in problem.tasks]
    return Masks(
        problem=problem,
        starts=tuple(starts for starts, _ in both),
        work=tuple(work for _, work in both),
        within=tuple(within[task.length] for task in problem.tasks),
        windows=windows,
        alike=sets.alike,
    )


class _SlotSets:
    """Starts of unbroken visits, and slots of work; tasks alike in length, light, weather and gangs share them."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        firsts: dict[tuple[int, int], int] = {}
        self.alike = tuple(
            firsts.setdefault((gang.shifts, gang.starts), number) for number, gang in enumerate(problem.gangs)
        )
        self._known: dict[object, tuple[tuple[int, ...], tuple[int, ...]]] = {}

    def of(self, task: Task) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Return (starts, work), one entry a gang of the task."""
        key = (task.gangs, task.length, task.good, task.ends, task.starts, task.any_time)
        if key not in self._known:
            kinds = [self.alike[gang] for gang in task.gangs]
            work = {kind: _work(self._problem, task, kind) for kind in set(kinds)}
            starts = {kind: self._starts(task, kind, work[kind]) for kind in work}
            self._known[key] = tuple(starts[kind] for kind in kinds), tuple(work[kind] for kind in kinds)
        return self._known[key]

    def _starts(self, task: Task, gang: int, work: int) -> int:
        unbroken = bits.runs(work, task.length)
        if not task.any_time and task.length > 1:
            unbroken &= ~_cut_by(self._problem.gangs[gang].starts, task.length)
        return unbroken & (task.ends >> task.length) & task.starts


def _work(problem: Problem, task: Task, gang: int) -> int:
    return task.good if task.any_time else task.good & problem.gangs[gang].shifts


def _cut_by(barriers: int, length: int) -> int:
    """Return the starts of runs of `length` slots that have a barrier strictly inside."""
    return bits.widen(barriers >> 1, length - 2, 0)
