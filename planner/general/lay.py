"""Lay activities one by one at the first start that holds; take some up again where a greatest lag would be passed.

The serial generation scheme with unscheduling of Franck, Neumann & Schwindt, "Truncated branch-and-bound, schedule
construction, and schedule-improvement procedures for resource-constrained project scheduling", OR Spektrum 23 (2001).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from planner.general.distances import Matrix, Vector
from planner.general.windows import Flags, Tightened, first_start

NEVER = 10**12
"""A priority behind every other."""


@dataclass(eq=False)
class Layer:
    """Lays one problem again and again, each time by other priorities."""

    known: Tightened
    taken_up_at_most: int
    """Times that a schedule may take activities up again before it is given up."""
    stop: Callable[[], bool] = lambda: False
    """Asked before each time."""

    def __post_init__(self) -> None:
        problem = self.known.problem
        count = len(problem.activities)
        paths = self.known.paths[:count, :count]
        self.paths: Matrix = np.ascontiguousarray(paths)
        self.back: Matrix = np.ascontiguousarray(paths.T)
        self.before: Flags = (paths > 0) | ((paths == 0) & (paths.T < 0))
        self.trouble: Vector = np.zeros(count, dtype=np.int64)
        """How often each activity found no start in time, over all schedules: such are worth laying earlier."""
        self.placings = 0
        """Placings so far: the work done, by which a search is limited so that the same seed does the same."""
        self.lengths = [activity.length for activity in problem.activities]
        self.uses = [
            [(r, demand) for r, demand in enumerate(a.demands) if demand and a.length] for a in problem.activities
        ]

    def lay(self, priorities: Vector) -> tuple[int, ...] | None:
        """Return starts of a schedule, laid with the lowest of the `priorities` [n] first; None where it fails."""
        sheet = _Sheet(self)
        while True:
            chosen = sheet.next(priorities)
            if chosen is None:
                return tuple(int(start) for start in sheet.starts)
            start = sheet.first_fit(chosen)
            if start is None:
                return None
            late = int(sheet.late[chosen])
            if start <= late:
                sheet.put(chosen, start)
            elif self.stop() or not sheet.take_up(chosen, start - late):
                return None


@dataclass(eq=False)
class _Sheet:
    """One schedule in the making."""

    layer: Layer
    taken_up: int = 0
    floors: Vector = field(init=False)
    """Starts [n] below which an activity is not tried again."""

    def __post_init__(self) -> None:
        known = self.layer.known
        self.floors = known.earliest.copy()
        self._latest = known.latest
        horizon = int(self._latest.max(initial=0)) + max(self.layer.lengths, default=0)
        self.free = np.zeros((len(known.problem.resources), horizon + 1), dtype=np.int64)
        for number, resource in enumerate(known.problem.resources):
            self.free[number] = resource.capacity
        self._clear()

    def _clear(self) -> None:
        self.starts = np.full(len(self.floors), -1, dtype=np.int64)
        self.early = self.floors
        self.late = self._latest
        self.waits = self.layer.before.sum(axis=0)
        self.behind = np.zeros(len(self.floors), dtype=np.int64)

    def next(self, priorities: Vector) -> int | None:
        """Return the activity to lay next: all that must start before it lie already."""
        if not len(priorities):
            return None
        ready = np.where(self.waits > 0, NEVER, priorities) + self.behind
        chosen = int(ready.argmin())
        return None if self.starts[chosen] >= 0 else chosen

    def first_fit(self, number: int) -> int | None:
        """Return the first start at or after the earliest at which every resource is free for long enough."""
        start: int | None = int(self.early[number])
        calendar = self.layer.known.calendars[number]
        length, uses = self.layer.lengths[number], self.layer.uses[number]
        horizon = self.free.shape[1]
        while start is not None:
            if calendar is not None:
                start = first_start(calendar, start)
            if start is None or start + length > horizon:
                return None
            clash = start
            for resource, demand in uses:
                short = np.flatnonzero(self.free[resource, start : start + length] < demand)
                if len(short):
                    clash = max(clash, start + int(short[-1]) + 1)
            if clash == start:
                return start
            start = clash
        return None

    def put(self, number: int, start: int) -> None:
        """Lay an activity where its resources are free."""
        for resource, demand in self.layer.uses[number]:
            self.free[resource, start : start + self.layer.lengths[number]] -= demand
        self._narrow(number, start)

    def take_up(self, number: int, short: int) -> bool:
        """Take up whatever holds `number` back by `short` units, and all that starts later; say whether it helps."""
        self.taken_up += 1
        self.layer.trouble[number] += 1
        laid = self.starts >= 0
        holding = laid & (self.starts - self.layer.paths[number] == self.late[number])
        if self.taken_up > self.layer.taken_up_at_most or not holding.any():
            return False
        self.floors = np.where(holding, self.starts + short, self.floors)
        self.floors = np.maximum(self.floors, (self.floors[:, None] + self.layer.paths).max(axis=0))
        if np.any(self.floors > self._latest):
            return False
        first = int(self.starts[holding].min())
        keep = laid & ~holding & (self.starts <= first) & (self.starts >= self.floors)
        kept = [(int(self.starts[other]), int(other)) for other in np.flatnonzero(keep)]
        self._take_off(np.flatnonzero(laid & ~keep).tolist())
        self._clear()
        for start, other in kept:
            self._narrow(other, start)
        return True

    def _take_off(self, numbers: list[int]) -> None:
        for number in numbers:
            start = int(self.starts[number])
            for resource, demand in self.layer.uses[number]:
                self.free[resource, start : start + self.layer.lengths[number]] += demand

    def _narrow(self, number: int, start: int) -> None:
        """Note a start, and narrow the windows of all others by it; its resources are held already."""
        self.starts[number] = start
        self.layer.placings += 1
        self.early = np.maximum(self.early, start + self.layer.paths[number])
        self.late = np.minimum(self.late, start - self.layer.back[number])
        self.waits = self.waits - self.layer.before[number]
        self.behind[number] = 2 * NEVER
