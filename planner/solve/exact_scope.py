"""What one exact search may change, and the slots that each task can then take at all."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from planner.problem import bits
from planner.problem.parts import Lag, Placed, Problem, Task
from planner.solve.profile import Profile
from planner.solve.schedule import Workshop


@dataclass(frozen=True)
class Scope:
    """The tasks that are `free`; every other stays where `fixed` has it. All end by slot `latest`.

    allowed: closures that may be used.
    """

    workshop: Workshop
    free: frozenset[int]
    fixed: Mapping[int, Placed]
    allowed: frozenset[int]
    latest: int


def whole_scope(workshop: Workshop, latest: int | None = None) -> Scope:
    """Return the scope of the whole problem, in which nothing is fixed."""
    problem = workshop.problem
    free = frozenset(task.index for task in problem.tasks)
    return Scope(workshop, free, {}, workshop.all_closures, problem.horizon if latest is None else latest)


@dataclass
class Windows:
    """By task: bit sets of the slots at which it can start and end; and by free task and gang, its slot sets.

    room[task][position]: of an unbroken task the starts, of a cut one the slots of work that the gang has free.
    possible: False where some task has no slot left.
    """

    starts: dict[int, int]
    ends: dict[int, int]
    room: dict[int, tuple[int, ...]]
    possible: bool = True


def windows_of(scope: Scope, stop: Callable[[], bool] = lambda: False) -> Windows:
    """Return the windows of all tasks in the scope, tightened along the gaps until nothing changes or `stop()`."""
    problem = scope.workshop.problem
    profile = Profile(problem)
    for index, placed in scope.fixed.items():
        if index not in scope.free:
            profile.book(placed)
    found = Windows({}, {}, {})
    for task in problem.tasks:
        if task.index in scope.free:
            _open(scope, profile, found, task)
        else:
            found.starts[task.index] = 1 << scope.fixed[task.index].start
            found.ends[task.index] = 1 << scope.fixed[task.index].finish
    lags = [lag for lag in problem.lags if lag.after in scope.free or lag.before in scope.free]
    _tighten(problem, found, lags, stop)
    return found


def _open(scope: Scope, profile: Profile, found: Windows, task: Task) -> None:
    masks = scope.workshop.masks
    until = bits.span(0, scope.latest)
    rooms = []
    for position, gang in enumerate(task.gangs):
        free = -1 if task.any_time else ~profile.blocked[gang][task.structure]
        if task.splittable:
            rooms.append(masks.work[task.index][position] & free & _inside(scope, task) & until)
        else:
            starts = masks.starts[task.index][position] & bits.runs(free, task.length) & _inside(scope, task)
            rooms.append(starts & bits.span(0, scope.latest - task.length + 1))
    found.room[task.index] = tuple(rooms)
    union = 0
    for room in rooms:
        union |= room
    starts = union & task.starts
    found.starts[task.index] = starts if task.latest is None else starts & bits.span(0, task.latest + 1)
    found.ends[task.index] = (union << 1) & task.ends if task.splittable else union << task.length


def _inside(scope: Scope, task: Task) -> int:
    """Return the slots (or starts, of an unbroken task) that lie in some closure that may serve the task."""
    closures = closures_of(scope, task)
    if closures is None:
        return -1
    masks, mask = scope.workshop.masks, 0
    for closure in closures:
        mask |= masks.windows[closure] if task.splittable else masks.within[task.index][closure]
    return mask


def closures_of(scope: Scope, task: Task) -> tuple[int, ...] | None:
    """Return the closures that may serve a task, its own or its exposed stretch's; None where it needs none."""
    of_stretch = [s.closures for s in scope.workshop.problem.stretches if task.index in s.members]
    if task.closures is None and not of_stretch:
        return None
    sets = [set(closures) for closures in (*of_stretch, task.closures) if closures is not None]
    return tuple(sorted(set.intersection(*sets) & scope.allowed))


def _tighten(problem: Problem, found: Windows, lags: list[Lag], stop: Callable[[], bool]) -> None:
    """Cut the windows round by round; a round looks only at what the one before has cut."""
    cut = {*found.starts}
    while cut and found.possible and not stop():
        seen, cut = cut, set()
        cut.update(task for task in found.room if task in seen and _both_ends(problem.tasks[task], found))
        for lag in lags:
            ends = {lag.after, lag.before}
            if not (ends.isdisjoint(seen) and ends.isdisjoint(cut)) and _narrow(found, lag):
                cut |= ends
        found.possible = all(found.starts.values()) and all(found.ends.values())


def _both_ends(task: Task, found: Windows) -> bool:
    starts, ends = found.starts[task.index], found.ends[task.index]
    if not task.splittable:
        both = starts & (ends >> task.length)
        found.starts[task.index], found.ends[task.index] = both, both << task.length
        return both != starts or both << task.length != ends
    if starts and ends:
        first, last = bits.first_from(starts, 0) or 0, ends.bit_length() - 1
        soonest = min((_reached(room, first, task.length) for room in found.room[task.index]), default=last + 1)
        latest = max((_left_for(room, last, task.length) for room in found.room[task.index]), default=-1)
        found.ends[task.index] = (ends >> soonest) << soonest
        found.starts[task.index] = starts & bits.span(0, latest + 1)
    return found.starts[task.index] != starts or found.ends[task.index] != ends


def _reached(room: int, first: int, length: int) -> int:
    """Return the earliest finish of `length` slots of work in `room` from `first` on; far off where there is none."""
    rest = (room >> first) << first
    if rest.bit_count() < length:
        return rest.bit_length() + first + length + 1
    low, high = first + length, rest.bit_length()
    while low < high:
        middle = (low + high) // 2
        if (rest & ((1 << middle) - 1)).bit_count() >= length:
            high = middle
        else:
            low = middle + 1
    return low


def _left_for(room: int, last: int, length: int) -> int:
    """Return the latest start from which `length` slots of work fit before slot `last`; −1 if there is none."""
    rest = room & ((1 << last) - 1)
    total = rest.bit_count()
    if total < length:
        return -1
    low, high = 0, last - length
    while low < high:
        middle = (low + high + 1) // 2
        if (rest >> middle).bit_count() >= length:
            low = middle
        else:
            high = middle - 1
    return low


def _narrow(found: Windows, lag: Lag) -> bool:
    """Cut the windows of a gap's two ends to what the other end leaves open."""
    anchors = found.starts if lag.from_start else found.ends
    values = found.ends if lag.to_finish else found.starts
    before = anchors[lag.after], values[lag.before]
    if not all(before):
        return False
    first_anchor, last_value = bits.first_from(before[0], 0) or 0, before[1].bit_length() - 1
    opens = first_anchor if lag.opens is None else lag.opens[first_anchor]
    until = last_value if lag.opens is None else bisect_right(lag.opens, last_value) - 1
    values[lag.before] = (before[1] >> opens) << opens
    anchors[lag.after] = before[0] & bits.span(0, until + 1)
    if lag.shuts is not None and anchors[lag.after] and values[lag.before]:
        last_anchor = anchors[lag.after].bit_length() - 1
        values[lag.before] &= bits.span(0, lag.shuts[last_anchor] + 1)
        from_slot = bisect_left(lag.shuts, bits.first_from(values[lag.before], 0) or 0)
        anchors[lag.after] = (anchors[lag.after] >> from_slot) << from_slot
    return (anchors[lag.after], values[lag.before]) != before
