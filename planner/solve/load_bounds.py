"""A bound on the finish by load: more work must be done between two slots than gangs or plant have slots for it.

For a finish by slot D every task has a window, from chains of gaps, shifts, light, weather and closures
(`exact_scope.windows_of`). Tasks whose windows lie inside [a, b) and that only gangs of one pool can do take their
lengths from the slots that those gangs can use for them there. Where that is not enough, no plan ends by D. Moves
and the order of visits are left out, so the argument holds for every plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from planner.problem import bits
from planner.problem.parts import Problem, Task
from planner.solve.exact_scope import Windows, whole_scope, windows_of
from planner.solve.schedule import Workshop

MOST_POOLS = 40
CLOSEST = 60
"""Spans of slots looked at again with the slots of their own tasks only, those with the least room first."""

Counts = NDArray[np.int64]


@dataclass(frozen=True)
class Demand:
    """One task's work: `length` slots inside [first, last), in the slots of `usable`, by gang or unit of plant."""

    first: int
    last: int
    length: int
    usable: tuple[tuple[int, int], ...]


def finish_bound_by_load(
    workshop: Workshop, floor: int, ceiling: int, stop: Callable[[], bool] = lambda: False
) -> int:
    """Return a slot in floor … ceiling before which no plan finishes; no later than a known plan's `ceiling`."""
    low, high = floor, ceiling
    while low < high and not stop():
        middle = (low + high) // 2
        if is_too_early(workshop, middle, stop):
            low = middle + 1
        else:
            high = middle
    return low


def is_too_early(workshop: Workshop, latest: int, stop: Callable[[], bool] = lambda: False) -> bool:
    """Say whether load shows that no plan ends by slot `latest`; False where `stop()` came first."""
    windows = windows_of(whole_scope(workshop, latest), stop)
    if not windows.possible:
        return True
    return any(not stop() and _overloaded(some, count) for some, count in _rivals(workshop, windows))


def _rivals(workshop: Workshop, windows: Windows) -> Iterator[tuple[list[Demand], int]]:
    """Yield (demands on one resource, units of it): for each pool of gangs, each counted by itself, and all plant."""
    problem = workshop.problem
    doing = [task for task in problem.tasks if not task.any_time]
    demands = {task.index: _demand(workshop, windows, task) for task in doing}
    for pool in pools(problem):
        yield [demands[task.index] for task in doing if pool.issuperset(task.gangs)], 1
    for plant, count in enumerate(problem.plant_counts):
        yield list(_on_plant(workshop, windows, plant)), count


def pools(problem: Problem) -> list[frozenset[int]]:
    """Return the sets of gangs that can do some task, and unions of these."""
    sets = sorted({frozenset(task.gangs) for task in problem.tasks}, key=lambda one: (len(one), sorted(one)))
    found = dict.fromkeys(sets)
    for one in sets:
        for other in list(found):
            if len(found) < MOST_POOLS:
                found[one | other] = None
    return list(found)


def _on_plant(workshop: Workshop, windows: Windows, plant: int) -> Iterator[Demand]:
    """Yield the demands of tasks that find the plant for themselves; the gang that does them is no matter."""
    for rules in workshop.rules:
        for place, index in enumerate(rules.unit.tasks):
            task = workshop.problem.tasks[index]
            if plant in task.plant and plant not in rules.held[place]:
                one = _demand(workshop, windows, task)
                slots = reduce(lambda some, pair: some | pair[1], one.usable, 0)
                yield Demand(one.first, one.last, one.length, ((plant, slots),))


def _demand(workshop: Workshop, windows: Windows, task: Task) -> Demand:
    starts, ends = windows.starts[task.index], windows.ends[task.index]
    first, last = bits.first_from(starts, 0) or 0, ends.bit_length() - 1
    rooms = windows.room[task.index]
    if task.splittable:
        usable = [room & bits.span(first, last) for room in rooms]
    else:
        usable = [bits.widen(room & starts, 0, task.length - 1) for room in rooms]
    return Demand(first, last, task.length, tuple(zip(task.gangs, usable, strict=True)))


def _overloaded(demands: Sequence[Demand], count: int) -> bool:
    """Say whether in some span the demands inside it are more than `count` units of each resource have slots for."""
    if not demands:
        return False
    firsts, lasts = np.unique([one.first for one in demands]), np.unique([one.last for one in demands])
    needed = _inside(demands, firsts, lasts)
    supply = count * _slots_before(_usable(demands).values(), int(lasts[-1]))
    spare = supply[lasts][None, :] - supply[firsts][:, None] - needed
    if np.any(spare[needed > 0] < 0):
        return True
    share = np.where(needed > 0, needed / np.maximum(1, spare + needed), 0.0)
    closest = np.argsort(share, axis=None)[::-1][:CLOSEST]
    return any(
        _lacks(demands, int(firsts[row]), int(lasts[column]), count)
        for row, column in zip(*np.unravel_index(closest, share.shape), strict=True)
        if share[row, column] > 0
    )


def _inside(demands: Sequence[Demand], firsts: Counts, lasts: Counts) -> Counts:
    """Return the slots of work that lie inside each span, shape (firsts, lasts)."""
    work = np.zeros((len(firsts), len(lasts)), dtype=np.int64)
    rows = np.searchsorted(firsts, [one.first for one in demands])
    columns = np.searchsorted(lasts, [one.last for one in demands])
    np.add.at(work, (rows, columns), [one.length for one in demands])
    inside: Counts = np.cumsum(np.cumsum(work[::-1], axis=0)[::-1], axis=1)
    return inside


def _usable(demands: Iterable[Demand]) -> dict[int, int]:
    """Return the slots, by gang or plant, that any of the demands can use."""
    found: dict[int, int] = {}
    for one in demands:
        for key, slots in one.usable:
            found[key] = found.get(key, 0) | slots
    return found


def _slots_before(masks: Iterable[int], horizon: int) -> Counts:
    """Return how many slots the masks hold before each boundary 0 … horizon, shape (horizon + 1,)."""
    total = np.zeros(horizon + 1, dtype=np.int64)
    for mask in masks:
        packed = (mask & bits.span(0, horizon)).to_bytes(horizon // 8 + 1, "little")
        flags = np.unpackbits(np.frombuffer(packed, dtype=np.uint8), bitorder="little", count=horizon)
        total[1:] += np.cumsum(flags, dtype=np.int64)
    return total


def _lacks(demands: Sequence[Demand], first: int, last: int, count: int) -> bool:
    """Say whether the demands inside [first, last) are more than there are slots for just these."""
    inside = [one for one in demands if first <= one.first and one.last <= last]
    span = bits.span(first, last)
    supply = sum((slots & span).bit_count() for slots in _usable(inside).values())
    return sum(one.length for one in inside) > count * supply
