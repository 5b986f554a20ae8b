"""Progress: which visits of a plan are done, under way or not begun, by the site record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property

from planner.model import Job, Placement, Plan, RecordedVisit
from planner.model.record import minute_of, recorded_visits, standing
from planner.site_record.work_order import WorkOrder
from planner.units import SLOT_MINUTES

VisitKey = tuple[str, int]


class State(StrEnum):
    """How far a visit has come."""

    DONE = "done"
    UNDER_WAY = "under way"
    NOT_BEGUN = "not begun"


def record_now(job: Job) -> int:
    """Return the minute of the newest entry, up to which the record tells; 0 where nothing is recorded."""
    return max((minute_of(job.time, entry.noted_at) for entry in job.record), default=0)


@dataclass(frozen=True, eq=False)
class Progress:
    """The record of a job, read against one of its plans at minute `now` (since the job's first midnight).

    Work on which nothing is recorded counts as done as planned where the record shows that it must be: work that may
    start only after it is recorded, or it was to finish before anything was recorded at all. Never so work that comes
    after something recorded as begun later, in the order of work: it can't have been done as planned. All work
    planned before `now` counts as done where the job has no record. Entries taken back are no evidence of anything:
    where none that counts is left, no work counts as done. Time that passes is no evidence either: what counts as
    done at the newest entry, and no more, does so at any later `now`, which only tells what should have begun.

    undone: by operation, the minute before which its recorded visits count no more.
    """

    job: Job
    plan: Plan
    now: int
    undone: Mapping[str, int] = field(default_factory=dict)

    @cached_property
    def history(self) -> Mapping[VisitKey, RecordedVisit]:
        """What was recorded of visits that count no more, see `planner.site_record.done_again`."""
        return {key: one for key, one in self.told.items() if (one.start or 0) < self.undone.get(one.operation, 0)}

    @cached_property
    def recorded(self) -> Mapping[VisitKey, RecordedVisit]:
        """What counts of each visit that was recorded with its start, by operation and number."""
        return {key: one for key, one in self.told.items() if key not in self.history}

    @cached_property
    def told(self) -> Mapping[VisitKey, RecordedVisit]:
        """The same, with the visits of layers that have to be done again."""
        found = recorded_visits(self.job.record, self.job.time)
        return {(one.operation, one.visit): one for one in found if one.start is not None}

    @cached_property
    def planned(self) -> Mapping[str, tuple[Placement, ...]]:
        """The visits of each operation that the plan holds, in order of time.

        Those of a layer that has to be done again are numbered on from what was recorded of it before.
        """
        found: dict[str, list[Placement]] = {}
        for placed in sorted(self.plan.placements, key=lambda placed: placed.start):
            found.setdefault(placed.operation, []).append(placed)
        return {key: self._numbered_on(key, visits) for key, visits in found.items()}

    def _numbered_on(self, operation: str, visits: list[Placement]) -> tuple[Placement, ...]:
        gone = [visit for key, visit in self.history if key == operation]
        by = max(max(gone) + 1 - min(one.visit for one in visits), 0) if gone else 0
        return tuple(replace(one, visit=one.visit + by) for one in visits) if by else tuple(visits)

    def state(self, operation: str, visit: int) -> State:
        """Return how far a visit has come."""
        recorded = self.recorded.get((operation, visit))
        if recorded is not None:
            return State.UNDER_WAY if recorded.finish is None else State.DONE
        placed = next((one for one in self.planned.get(operation, ()) if one.visit == visit), None)
        return State.DONE if placed is not None and self.is_presumed(placed) else State.NOT_BEGUN

    def is_presumed(self, placed: Placement) -> bool:
        """Say whether a visit without an entry is taken to be done as planned."""
        if placed.operation in self.undone or (placed.operation, placed.visit) in self.recorded:
            return False
        if placed.finish * SLOT_MINUTES > self._told_until:
            return False
        earlier, later = self._recorded_around(placed)
        if not later:
            return not earlier and placed.finish * SLOT_MINUTES <= self._first_recorded
        by = min(_starts(later))
        return all(_was_over(one, by) for one in earlier)

    def _recorded_around(self, placed: Placement) -> tuple[list[RecordedVisit], list[RecordedVisit]]:
        """Return what is recorded of the work before a visit and after it, other visits of its operation included."""
        before = {*self._order.before(placed.operation)}
        after = {*self._order.after(placed.operation)}
        earlier, later = [], []
        for (operation, visit), one in self.told.items():
            if operation in before or (operation == placed.operation and visit < placed.visit):
                earlier.append(one)
            elif operation in after or (operation == placed.operation and visit > placed.visit):
                later.append(one)
        return earlier, later

    @cached_property
    def _order(self) -> WorkOrder:
        return WorkOrder(self.job, self.plan, tuple(dict.fromkeys(key for key, _ in self.told)))

    def state_of(self, operation: str) -> State:
        """Return how far an operation of the plan has come: it is done when all its visits are."""
        states = {self.state(operation, one.visit) for one in self.planned.get(operation, ())}
        states |= {self.state(*key) for key in self.recorded if key[0] == operation}
        if states == {State.NOT_BEGUN} or not states:
            return State.NOT_BEGUN
        ended = any(one.last and one.finish for (key, _), one in self.recorded.items() if key == operation)
        return State.DONE if ended or states == {State.DONE} else State.UNDER_WAY

    @cached_property
    def unrecorded(self) -> frozenset[str]:
        """Operations that are taken to be done or begun, and of which nothing is recorded."""
        return self.begun - {operation for operation, _ in self.recorded}

    @cached_property
    def begun(self) -> frozenset[str]:
        """Operations of which at least one visit is done or under way."""
        keys = {operation for operation, _ in self.recorded}
        return frozenset(keys | {one.operation for one in self.plan.placements if self.is_presumed(one)})

    @cached_property
    def _told_until(self) -> int:
        """The minute up to which anything tells of the work: now, or the newest entry where there is one."""
        return min(self.now, record_now(self.job)) if self.job.record else self.now

    def overdue(self) -> tuple[Placement, ...]:
        """Return the visits planned to start before now of which nothing is known, in order of time."""
        late = (
            one
            for visits in self.planned.values()
            for one in visits
            if one.start * SLOT_MINUTES < self.now and self.state(one.operation, one.visit) is State.NOT_BEGUN
        )
        return tuple(sorted(late, key=lambda one: (one.start, one.operation)))

    @cached_property
    def _first_recorded(self) -> float:
        """The minute of the first start, or entry, that counts: never in a job without record, else before all."""
        if not self.job.record:
            return float("inf")
        told = [minute_of(self.job.time, entry.finished or entry.noted_at) for _, entry in standing(self.job.record)]
        return min(_starts(self.told.values()), default=min(told, default=float("-inf")))


def _was_over(one: RecordedVisit, by: int) -> bool:
    """Say whether recorded work was over when later work was begun: an entry can lack its finish, not its start."""
    return max(one.start or 0, one.finish or 0) <= by


def _starts(visits: Iterable[RecordedVisit]) -> Iterable[int]:
    return (one.start for one in visits if one.start is not None)
