"""Gaps from done work, by the minutes of the site record rather than by the slots that hold them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from planner.model import Job
from planner.model.record import recorded_visits
from planner.problem.issued import Issued
from planner.problem.parts import Arrays
from planner.units import SLOT_MINUTES


@dataclass(frozen=True)
class RecordedEnds:
    """A finish is held by the slot that it ends, a start by the one that it begins: both lie up to 14 min off.

    From there a gap opens as from the slot boundary after the minute, and shuts as from the one before it.
    """

    job: Job
    issued: Issued | None

    @cached_property
    def minutes(self) -> Mapping[tuple[str, str], int]:
        """The recorded minutes of starts and finishes, by operation and end, which lie between two slots."""
        if self.issued is None or not self.job.record:
            return {}
        first: dict[tuple[str, str], int] = {}
        for one in recorded_visits(self.job.record, self.job.time):
            if one.start is not None:
                first[one.operation, "start"] = min(one.start, first.get((one.operation, "start"), one.start))
            if one.finish is not None:
                first[one.operation, "finish"] = max(one.finish, first.get((one.operation, "finish"), one.finish))
        return {key: minute for key, minute in first.items() if minute % SLOT_MINUTES and self._holds(*key, minute)}

    def _holds(self, operation: str, end: str, minute: int) -> bool:
        """Say whether the plan has the end in the slot of this minute."""
        visits = self.issued.visits.get(operation, ()) if self.issued is not None else ()
        if not visits:
            return False
        slot = visits[0].start if end == "start" else max(visit.finish for visit in visits)
        return slot == (minute // SLOT_MINUTES if end == "start" else -(-minute // SLOT_MINUTES))

    def arrays(self, operation: str, end: str, arrays: Arrays) -> Arrays:
        """Return when a gap from an end of an operation opens and shuts, for each slot of that end."""
        minute = self.minutes.get((operation, end))
        if minute is None:
            return arrays
        before, after = minute // SLOT_MINUTES, -(-minute // SLOT_MINUTES)
        slot = before if end == "start" else after
        opens, shuts = list(arrays[0]), list(arrays[1])
        opens[slot], shuts[slot] = opens[after], shuts[before]
        return opens, shuts
