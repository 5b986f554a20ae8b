"""Where a visit has room: from any slot on, the first start inside a shift of its gang and, if asked, a closure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from planner.calendars.closures import closure_window
from planner.calendars.shifts import shift_times
from planner.intervals import Interval, intersection
from planner.model import Closure, ClosureState, Job, Placement
from planner.risk.clocks import Slots


@dataclass(frozen=True, eq=False)
class Rooms:
    """The gangs' shifts and the closures' working windows of one job."""

    job: Job
    _shifts: dict[str, tuple[Interval, ...]] = field(default_factory=dict, repr=False)
    _windows: dict[frozenset[str], tuple[tuple[Closure, Interval], ...]] = field(default_factory=dict, repr=False)
    _firsts: dict[object, Slots] = field(default_factory=dict, repr=False)

    def windows(self, lanes: frozenset[str]) -> tuple[tuple[Closure, Interval], ...]:
        """Return the closures that shut all these lanes and are not refused, with their working windows, by start."""
        if lanes not in self._windows:
            self._windows[lanes] = self._found(lanes)
        return self._windows[lanes]

    def _found(self, lanes: frozenset[str]) -> tuple[tuple[Closure, Interval], ...]:
        found = [(closure, closure_window(closure, self.job.time).work) for closure in self.job.closures]
        usable = [
            (closure, work)
            for closure, work in found
            if work is not None and closure.state is not ClosureState.REFUSED and lanes <= set(closure.lanes)
        ]
        return tuple(sorted(usable, key=lambda pair: pair[1]))

    def firsts(self, visit: Placement, inside: tuple[Interval, ...] | None) -> Slots:
        """Return for every slot 0..H + 1 the first start from it on at which the visit has room; H + 1 for none.

        It lies in one shift of its gang, with overtime where the plan has it there, and in one interval of `inside`.
        """
        length = visit.finish - visit.start
        key = (visit.gang, length, self._overtime(visit), inside)
        if key not in self._firsts:
            self._firsts[key] = self._made(visit, length, inside)
        return self._firsts[key]

    def _made(self, visit: Placement, length: int, inside: tuple[Interval, ...] | None) -> Slots:
        rooms: Iterable[Interval] = self._shifts_of(visit)
        if inside is not None:
            rooms = [part for shift in rooms for window in inside for part in intersection([shift], [window])]
        never = self.job.time.horizon + 1
        starts = np.full(never + 1, never, dtype=np.int64)
        for room in rooms:
            first, last = room.start, room.finish - length
            if first <= last:
                starts[first : last + 1] = np.arange(first, last + 1)
        return np.asarray(np.minimum.accumulate(starts[::-1])[::-1])

    def _shifts_of(self, visit: Placement) -> tuple[Interval, ...]:
        over = self._overtime(visit)
        key = f"{visit.gang}{' with overtime' if over else ''}"
        if key not in self._shifts:
            shifts = shift_times(self.job.gang(visit.gang), self.job)
            self._shifts[key] = tuple(shift.with_overtime if over else shift.interval for shift in shifts)
        return self._shifts[key]

    def _overtime(self, visit: Placement) -> bool:
        """Say whether the plan has the visit partly in overtime."""
        gang = self.job.gang(visit.gang)
        if not any(shift.overtime_h for shift in gang.shifts):
            return False
        own = Interval(visit.start, visit.finish)
        return not any(shift.interval.holds(own) for shift in shift_times(gang, self.job))
