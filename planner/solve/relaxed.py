"""A job as all its plans have it, whatever is chosen: where each operation can lie, and what must lie between them.

Kept are the length of each operation, the shifts and closures in which light and weather let it lie at all, and the
time between the operations of an element. Where in its shift anything is done is left open, so that what holds for
this holds for every plan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from planner.problem import bits
from planner.problem.parts import Lag, Problem, Task
from planner.solve.closure_bounds import Demand, demands_of
from planner.solve.exact_scope import Windows, closures_of, whole_scope, windows_of
from planner.solve.heed import heeded
from planner.solve.schedule import Workshop

Place = tuple[int, int, int | None]
"""A gang, the number of its shift (−1 where shifts don't bind), and a closure or none."""


@dataclass
class Item:
    """One operation in all the ways of doing it: its least length [slots], and by place the slots that it might have.

    ends: by place the earliest finish and the latest start there.
    """

    length: int
    cut: bool
    room: dict[Place, int] = field(default_factory=dict)
    ends: dict[Place, tuple[int, int]] = field(default_factory=dict)


class Relaxed:
    """What all ways of doing the job have in common."""

    def __init__(self, parts: tuple[tuple[Workshop, ...], ...], stop: Callable[[], bool] = lambda: False) -> None:
        """HaltedError where `stop()` says so before all is taken."""
        self._stop = stop
        self.items: dict[str, Item] = {}
        self.lags: dict[tuple[str, str], int] = {}
        self.demands: list[tuple[tuple[Demand, ...], ...]] = []
        self.problem: Problem = parts[0][0].problem
        for ways in parts:
            self._take(ways)

    def _take(self, ways: tuple[Workshop, ...]) -> None:
        """Take a part: an operation counts where every way has it, and if no part before it had it."""
        keys = [{task.key for task in way.problem.tasks} for way in ways]
        new = set.intersection(*keys) - self.items.keys()
        lags: list[dict[tuple[str, str], int]] = []
        for way in ways:
            windows = windows_of(whole_scope(way))
            for task in heeded(way.problem.tasks, self._stop):
                if task.key in new and windows.possible:
                    self._widen(way, windows, task)
            if windows.possible:
                lags.append(_least_lags(way.problem, new, self._stop))
        for pair in set.intersection(*(set(one) for one in lags)) if lags else ():
            self.lags[pair] = min(one[pair] for one in lags)
        self.demands.append(tuple(tuple(heeded(demands_of(way), self._stop)) for way in ways))

    def _widen(self, way: Workshop, windows: Windows, task: Task) -> None:
        item = self.items.setdefault(task.key, Item(task.length, task.splittable))
        item.length, item.cut = min(item.length, task.length), item.cut or task.splittable
        closures = closures_of(whole_scope(way), task)
        masks = way.masks
        for position, gang in enumerate(task.gangs):
            for closure in (None,) if closures is None else closures:
                room = windows.room[task.index][position]
                if not task.splittable:
                    room &= windows.starts[task.index]
                if closure is not None:
                    room &= masks.windows[closure] if task.splittable else masks.within[task.index][closure]
                self._by_shift(way.problem, item, task, (gang, closure), room)

    def _by_shift(self, problem: Problem, item: Item, task: Task, at: tuple[int, int | None], room: int) -> None:
        gang, closure = at
        spans = ((0, problem.horizon),) if task.any_time else problem.gangs[gang].shift_spans
        for number, (start, end) in enumerate(spans):
            inside = room & bits.span(start, end)
            if not inside:
                continue
            first, last = bits.first_from(inside, 0) or 0, inside.bit_length() - 1
            place = (gang, -1 if task.any_time else number, closure)
            slots = inside.bit_count() if task.splittable else task.length
            ends = (first + 1, last) if task.splittable else (first + task.length, last)
            known = item.ends.get(place, ends)
            item.room[place] = max(item.room.get(place, 0), slots)
            item.ends[place] = min(known[0], ends[0]), max(known[1], ends[1])


def _least_lags(problem: Problem, keys: set[str], stop: Callable[[], bool]) -> dict[tuple[str, str], int]:
    """Return the least slots from the finish of one operation to the start of another, over all anchors."""
    found: dict[tuple[str, str], int] = {}
    for lag in heeded(problem.lags, stop):
        pair = problem.tasks[lag.after].key, problem.tasks[lag.before].key
        if not lag.from_start and not lag.to_finish and keys.issuperset(pair):
            found[pair] = max(found.get(pair, 0), _least(lag, problem.horizon))
    return found


def _least(lag: Lag, horizon: int) -> int:
    if lag.opens is None:
        return 0
    return min((opens - slot for slot, opens in enumerate(lag.opens) if opens <= horizon), default=0)
