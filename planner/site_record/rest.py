"""What is left to plan once something is recorded: done and begun work stands, and nothing else starts before now."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from planner.audit.case import Exact
from planner.audit.check import Auditor
from planner.findings import Finding, Weight
from planner.model import Aim, Job, Plan, PlanStatus
from planner.site_record.as_stands import AsStands, as_stands
from planner.site_record.findings import record_findings
from planner.site_record.missed import MissedGap, but_missed
from planner.site_record.progress import record_now
from planner.units import Slot


@dataclass(frozen=True, eq=False)
class Rest:
    """stood: the old plan as it stands; without an old plan, the recorded work alone."""

    stood: AsStands

    @property
    def base(self) -> Plan:
        """The plan in which begun work has its place."""
        return self.stood.plan

    @property
    def now(self) -> Slot:
        """The first slot in which work not begun may start."""
        return Slot(max(0, min(self.stood.now, self.stood.progress.job.time.horizon)))

    @property
    def begun(self) -> frozenset[str]:
        """Operations that are done or under way."""
        return self.stood.progress.begun

    def unclean(self, plan: Plan, auditor: Auditor, missed: Collection[MissedGap] = ()) -> tuple[Finding, ...]:
        """Return the breaches of a new plan that are not of work done or begun, nor of gaps missed before it."""
        found = but_missed(auditor.audit(plan), missed)
        return tuple(one for one in found if one.weight is Weight.BREACH and one.place not in self.begun)


def rest_of(job: Job, auditor: Auditor, plan: Plan | None = None, now: int | None = None) -> Rest | None:
    """Return what is left at minute `now`, or at the newest entry where that is later; None without any record."""
    if not job.record:
        return None
    nothing = Plan(job.job.name, PlanStatus.FEASIBLE, Aim.FINISH, 0.0, 0.0, ())
    return Rest(as_stands(job, plan or nothing, max(record_now(job), now or 0), auditor))


def standing_plan(job: Job, plan: Plan, auditor: Auditor, now: int | None = None) -> tuple[Plan, Exact]:
    """Return a plan as it stands by the record, with the minutes recorded; without any record, as it is.

    now: as in `rest_of`.
    """
    rest = rest_of(job, auditor, plan, now)
    return (plan, {}) if rest is None else (rest.base, rest.stood.exact)


def findings_on(job: Job, plan: Plan, auditor: Auditor, now: int | None = None) -> tuple[Finding, ...]:
    """Return what the audit finds in a plan; where something is recorded, in the plan as it stands by the record.

    now: the minute up to which entries can be missed, where it is later than the newest entry.
    """
    if not job.record:
        return auditor.audit(plan)
    return record_findings(as_stands(job, plan, max(record_now(job), now or 0), auditor), auditor)
