"""The earliest place for one task in what is still free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from planner.problem import bits
from planner.problem.parts import Placed, Task, Visit
from planner.solve.masks import Masks
from planner.solve.profile import Profile


@dataclass(frozen=True)
class Room:
    """What all tasks share while one order is tried: bookings, closures allowed, which gang is asked first."""

    masks: Masks
    profile: Profile
    allowed: frozenset[int]
    gang_order: tuple[int, ...]
    kept: frozenset[int] = frozenset()
    """Units whose tasks stay where an issued plan has them, if they can, and else go later rather than earlier."""
    _asked: dict[tuple[int, ...], tuple[tuple[int, int], ...]] = field(default_factory=dict, repr=False)

    def asked(self, gangs: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
        """Return (position, gang) of some gangs in the order in which they are asked."""
        if gangs not in self._asked:
            pairs = sorted(enumerate(gangs), key=lambda pair: self.gang_order.index(pair[1]))
            self._asked[gangs] = tuple(pairs)
        return self._asked[gangs]


def as_issued(
    room: Room,
    task: Task,
    low: int,
    closure: int | None,
    own: dict[int, int],
    plant: Sequence[Sequence[int]],
) -> Placed | None:
    """Return the place that an issued plan has for `task` if it is still free and good, as for `earliest`."""
    issued = task.issued
    if issued is None or issued.start < low or issued.gang not in task.gangs:
        return None
    length = sum(visit.finish - visit.start for visit in issued.visits)
    if length != task.length or (len(issued.visits) > 1 and not task.splittable):
        return None
    position = task.gangs.index(issued.gang)
    mask = room.masks.work[task.index][position] & _free(room, task, issued.gang, own)
    starts = 0 if task.any_time else room.masks.problem.gangs[issued.gang].starts
    for number, visit in enumerate(issued.visits):
        slots = bits.span(visit.start, visit.finish)
        last = number == len(issued.visits) - 1
        if slots & ~mask or not task.ends >> visit.finish & 1 or starts & (slots ^ (1 << visit.start)):
            return None
        if not last and visit.finish - visit.start < task.min_visit:
            return None
        if not _may_lie_in(room, task, visit, closure, slots):
            return None
        if not all(any(not busy & slots for busy in units) for units in plant):
            return None
    return issued


def _may_lie_in(room: Room, task: Task, visit: Visit, closure: int | None, slots: int) -> bool:
    """Say whether the closure that a visit was issued in, or none, will still do."""
    if closure is not None:
        return visit.closure in (closure, None) and not slots & ~room.masks.windows[closure]
    if task.closures is None:
        return visit.closure is None
    if visit.closure not in task.closures or visit.closure not in room.allowed:
        return False
    return not slots & ~room.masks.windows[visit.closure]


def earliest(
    room: Room,
    task: Task,
    low: int,
    closure: int | None,
    own: dict[int, int],
    plant: Sequence[Sequence[int]],
) -> Placed | None:
    """Return the earliest place for `task` that starts at or after slot `low`, or None.

    closure: the one closure that an exposed stretch has settled on, or None.
    plant: busy slots of each unit of each plant that the task must find for itself.
    own: by gang, the slots in which it can't work since the task's own unit does (empty for a chain).
    Of gangs that could start at the same slot the one first in the room's order is taken; where the work
    may be cut, the one that finishes first.
    """
    if task.splittable:
        return _cut_by_any(room, task, low, closure, own, plant)
    return _unbroken_by_any(room, task, low, closure, own, plant)


def _busy(room: Room, task: Task, gang: int, own: dict[int, int]) -> int:
    if task.any_time:
        return 0
    busy = room.profile.blocked[gang][task.structure]
    return busy | own.get(gang, 0) if own else busy


def _free(room: Room, task: Task, gang: int, own: dict[int, int]) -> int:
    return ~_busy(room, task, gang, own)


def _unbroken_by_any(
    room: Room, task: Task, low: int, closure: int | None, own: dict[int, int], plant: Sequence[Sequence[int]]
) -> Placed | None:
    """Ask one gang after the other for an earlier start than the best so far; slots are counted from `low`."""
    starts, alike, length = room.masks.starts[task.index], room.masks.alike, task.length
    some_start = _closure_starts(room, task, closure) & _plant_starts(plant, length)
    sets: dict[int, int] = {}
    best, by = -1, -1
    for position, gang in room.asked(task.gangs):
        kind = alike[gang]
        if kind not in sets:
            sets[kind] = (starts[position] & some_start) >> low
        mask = sets[kind]
        busy = _busy(room, task, gang, own) >> low
        if best >= 0:
            mask &= (1 << best) - 1
            busy &= (1 << (best + length)) - 1
        if mask and busy:
            mask &= bits.runs(~busy, length)
        if mask:
            best, by = (mask & -mask).bit_length() - 1, gang
            if not best:
                break
    if by < 0:
        return None
    start, finish = low + best, low + best + length
    return Placed(task.index, by, (Visit(start, finish, _closure_of(room, task, closure, start, finish)),))


def _plant_starts(plant: Sequence[Sequence[int]], length: int) -> int:
    """Return the starts for which some unit of each plant is free for the whole length."""
    mask = -1
    for units in plant:
        some = 0
        for busy in units:
            some |= bits.runs(~busy, length)
        mask &= some
    return mask


def _cut_by_any(
    room: Room, task: Task, low: int, closure: int | None, own: dict[int, int], plant: Sequence[Sequence[int]]
) -> Placed | None:
    """Ask one gang after the other; of gangs alike that have nothing booked only the first is asked.

    One that has no free slot to begin in from which it could end as soon as the best so far is not asked either.
    """
    work, alike, limit = room.masks.work[task.index], room.masks.alike, room.masks.problem.horizon
    shut = room.masks.windows[closure] if closure is not None else room.masks.shut_for(task.index, room.allowed)
    unused = tuple(tuple(~busy for busy in units) for units in plant)
    best: Placed | None = None
    sets: dict[int, int] = {}
    idle: set[int] = set()
    begins = bits.span(0, limit - task.length - low + 1)
    for position, gang in room.asked(task.gangs):
        kind, busy = alike[gang], _busy(room, task, gang, own) >> low
        if kind not in sets:
            sets[kind] = (work[position] & shut) >> low
        if not sets[kind] & begins & ~busy or (not busy and kind in idle):
            continue
        if not busy:
            idle.add(kind)
        found = _cut(room, task, gang, low, closure, (sets[kind] & ~busy) << low, unused, limit)
        if found and (best is None or (found.finish, found.start) < (best.finish, best.start)):
            best, limit = found, found.finish
            begins = bits.span(0, limit - task.length - low + 1)
    return best


def _closure_starts(room: Room, task: Task, closure: int | None) -> int:
    if closure is not None:
        return room.masks.within[task.index][closure]
    if task.closures is None:
        return -1
    return room.masks.starts_in_any(task.index, room.allowed)


def _closure_of(room: Room, task: Task, closure: int | None, start: int, finish: int) -> int | None:
    """Return the closure for a visit: the stretch's, else one in use already, else the cheapest."""
    if closure is not None or task.closures is None:
        return closure
    rules = room.masks.problem.closures
    fitting = [
        index
        for index in task.closures
        if index in room.allowed and rules[index].start <= start and finish <= rules[index].finish
    ]
    used = room.profile.closures_used
    return min(fitting, key=lambda index: (index not in used, rules[index].cost, index))


def _cut(
    room: Room,
    task: Task,
    gang: int,
    low: int,
    closure: int | None,
    mask: int,
    plant: tuple[tuple[int, ...], ...],
    limit: int,
) -> Placed | None:
    """Fill slots of `mask` from `low` on by visits, each inside one shift and one closure; None if after `limit`.

    mask: slots in which the gang is free and works, all of them in closures that may be used where it needs any.
    """
    for units in plant:
        some = 0
        for unit in units:
            some |= unit
        mask &= some
    barriers = 0 if task.any_time else room.masks.problem.gangs[gang].starts
    visits: list[Visit] = []
    slot, left = low, task.length
    while left:
        visit = _next_visit(room, task, mask, barriers, slot, left, closure)
        if visit is None or visit.start + left > limit:
            return None
        if (len(plant) and not _one_unit_free(plant, visit)) or (not visits and not task.starts >> visit.start & 1):
            slot = visit.start + 1
            continue
        visits.append(visit)
        left -= visit.finish - visit.start
        slot = visit.finish
    return Placed(task.index, gang, tuple(visits))


def _one_unit_free(plant: tuple[tuple[int, ...], ...], visit: Visit) -> bool:
    needed = bits.span(visit.start, visit.finish)
    return all(any(unit & needed == needed for unit in units) for units in plant)


def _next_visit(
    room: Room, task: Task, mask: int, barriers: int, low: int, left: int, closure: int | None
) -> Visit | None:
    """Return the earliest visit from `low` on; among closures that start it equally early, the longest."""
    if closure is not None or task.closures is None:
        return _visit_in(task, mask, barriers, low, left, closure)
    first = bits.first_from(mask, low)
    if first is None:
        return None
    rules = room.masks.problem.closures
    found: list[Visit] = []
    soonest = room.masks.problem.horizon
    for index in task.closures:
        if rules[index].start > soonest:
            break  # closures come in order of their starts: the rest can't begin a visit any earlier
        if rules[index].finish > first and index in room.allowed:
            visit = _visit_in(task, mask & room.masks.windows[index], barriers, first, left, index)
            if visit is not None:
                found.append(visit)
                soonest = min(soonest, visit.start)
    used = room.profile.closures_used
    return min(found, key=lambda visit: (visit.start, -visit.finish, visit.closure not in used), default=None)


def _visit_in(task: Task, mask: int, barriers: int, low: int, left: int, closure: int | None) -> Visit | None:
    slot = low
    while True:
        start = bits.first_from(mask, slot)
        if start is None:
            return None
        stop = bits.end_of_run(mask, start)
        barrier = bits.first_from(barriers, start + 1)
        if barrier is not None:
            stop = min(stop, barrier)
        finish = bits.last_before(task.ends, min(stop, start + left) + 1)
        shortest = min(task.min_visit, left)
        if finish is not None and finish - start >= shortest:
            return Visit(start, finish, closure)
        slot = start + 1 if stop - start > shortest else stop
