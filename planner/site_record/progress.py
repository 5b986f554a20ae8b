"""Progress: which visits of a plan are done, under way or not begun, by the site record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from planner.model import Job, Placement, Plan, RecordedVisit
from planner.model.record import recorded_visits
from planner.units import SLOT_MINUTES

VisitKey = tuple[str, int]


class State(StrEnum):
    """How far a visit has come."""

    DONE = "done"
    UNDER_WAY = "under way"
    NOT_BEGUN = "not begun"


@dataclass(frozen=True, eq=False)
class Progress:
    """The record of a job, read against one of its plans at minute `now` (since the job's first midnight).

    Work on which nothing is recorded counts as done as planned where the record shows that it must be: something
    later on the same element is recorded, or it was to finish before anything was recorded at all. So does all work
    planned before `now` where the job has no record.
    """

    job: Job
    plan: Plan
    now: int

    @cached_property
    def recorded(self) -> Mapping[VisitKey, RecordedVisit]:
        """What counts of each visit that was recorded with its start, by operation and number."""
        found = recorded_visits(self.job.record, self.job.time)
        return {(one.operation, one.visit): one for one in found if one.start is not None}

    @cached_property
    def planned(self) -> Mapping[str, tuple[Placement, ...]]:
        """The visits of each operation that the plan holds, in order of time."""
        found: dict[str, list[Placement]] = {}
        for placed in sorted(self.plan.placements, key=lambda placed: placed.start):
            found.setdefault(placed.operation, []).append(placed)
        return {key: tuple(visits) for key, visits in found.items()}

    def state(self, operation: str, visit: int) -> State:
        """Return how far a visit has come."""
        recorded = self.recorded.get((operation, visit))
        if recorded is not None:
            return State.UNDER_WAY if recorded.finish is None else State.DONE
        placed = next((one for one in self.planned.get(operation, ()) if one.visit == visit), None)
        return State.DONE if placed is not None and self.is_presumed(placed) else State.NOT_BEGUN

    def is_presumed(self, placed: Placement) -> bool:
        """Say whether a visit without an entry is taken to be done as planned."""
        if (placed.operation, placed.visit) in self.recorded or placed.finish * SLOT_MINUTES > self.now:
            return False
        if placed.finish * SLOT_MINUTES <= self._first_recorded:
            return True
        latest = self._latest_by_element.get(placed.operation.partition("/")[0], -1)
        return placed.start * SLOT_MINUTES < latest

    @cached_property
    def begun(self) -> frozenset[str]:
        """Operations of which at least one visit is done or under way."""
        keys = {operation for operation, _ in self.recorded}
        return frozenset(keys | {one.operation for one in self.plan.placements if self.is_presumed(one)})

    def overdue(self) -> tuple[Placement, ...]:
        """Return the visits planned to start before now of which nothing is known, in order of time."""
        late = (
            one
            for one in self.plan.placements
            if one.start * SLOT_MINUTES < self.now and self.state(one.operation, one.visit) is State.NOT_BEGUN
        )
        return tuple(sorted(late, key=lambda one: (one.start, one.operation)))

    @cached_property
    def _first_recorded(self) -> float:
        return min(_starts(self.recorded.values()), default=float("inf"))

    @cached_property
    def _latest_by_element(self) -> Mapping[str, int]:
        """Return, by element, the latest planned or real start [minutes] of its recorded work."""
        latest: dict[str, int] = {}
        for (operation, visit), one in self.recorded.items():
            placed = next((place for place in self.planned.get(operation, ()) if place.visit == visit), None)
            start = placed.start * SLOT_MINUTES if placed is not None else one.start or 0
            element = operation.partition("/")[0]
            latest[element] = max(latest.get(element, -1), start)
        return latest


def _starts(visits: Iterable[RecordedVisit]) -> Iterable[int]:
    return (one.start for one in visits if one.start is not None)
