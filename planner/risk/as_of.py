"""The plan as it stands at a moment: what is done by then is settled, and only the rest is uncertain."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from planner.audit.check import Auditor
from planner.model import Job, Plan
from planner.risk.scene import NOTHING_BEGUN, Begun
from planner.site_record.rest import rest_of
from planner.units import SLOT_MINUTES, Slot


@dataclass(frozen=True, eq=False)
class AsOf:
    """overdue: operations that should have begun by then, of which the site record tells nothing."""

    plan: Plan
    begun: Begun
    overdue: frozenset[str] = frozenset()

    def known_until(self, job: Job) -> datetime | None:
        """Return the moment up to which the weather has been, or None."""
        return job.time.local(self.begun.now) if self.begun.now > 0 else None


def as_of(job: Job, auditor: Auditor, plan: Plan, now: int | None = None) -> AsOf:
    """Return `plan` at slot `now`, or at the newest entry of the site record where that is later.

    Without any record, all that the plan begins before `now` is taken to have been done as planned.
    """
    rest = rest_of(job, auditor, plan, None if now is None else now * SLOT_MINUTES)
    if rest is not None:
        overdue = frozenset(one.operation for one in rest.stood.progress.overdue())
        return AsOf(rest.base, Begun(rest.now, rest.begun), overdue)
    if not now:
        return AsOf(plan, NOTHING_BEGUN)
    begun = frozenset(one.operation for one in plan.placements if one.start < now)
    return AsOf(plan, Begun(Slot(now), begun))
