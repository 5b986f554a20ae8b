"""What a plan is made from: nothing, the plan that was handed out, or the site record; and what must be clean."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.release_checks import short_notices
from planner.cli.moments import slot_from
from planner.findings import Finding, Weight
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan
from planner.model import Plan
from planner.site_record.broken_layers import broken_layers
from planner.site_record.missed import MissedGap, but_missed
from planner.site_record.rest import rest_of
from planner.solve.let_go import missed_gaps
from planner.units import SLOT_MINUTES, Slot


@dataclass(frozen=True)
class Start:
    """handed_out: the plan that is changed. base, now, begun: as for `solve_job`. missed: gaps that can't be met.

    to_decide: what people must decide on site, in words.
    """

    handed_out: Plan | None
    base: Plan | None
    now: Slot | None
    begun: frozenset[str] | None
    missed: tuple[MissedGap, ...] = ()
    to_decide: tuple[str, ...] = ()

    def unclean(self, plan: Plan, auditor: Auditor) -> tuple[Finding, ...]:
        """Return the breaches of a new plan that are not of work done or begun, with notices that are too short."""
        found = [one for one in but_missed(auditor.audit(plan), self.missed) if one.weight is Weight.BREACH]
        if self.base is None or self.now is None:
            return tuple(found)
        started = self.begun
        if started is None:
            started = frozenset(placed.operation for placed in self.base.placements if placed.start < self.now)
        told = short_notices(Case(auditor.side_of(plan), plan), self.now, self.handed_out or self.base)
        return tuple(one for one in (*found, *told) if one.place not in started)


def start_from(loaded: LoadedJob, handed_out: Path | None, now: datetime | None) -> Start:
    """Return what to plan from: a plan file and a time where they are given, and what the job's record tells."""
    job = loaded.job
    old = None if handed_out is None else read_plan(handed_out, job)
    slot = None if now is None else Slot(slot_from(job.time, now))
    rest = rest_of(job, Auditor(job, loaded.weather), old, None if slot is None else slot * SLOT_MINUTES)
    if rest is not None:
        missed = missed_gaps(job, loaded.weather, rest.stood, rest.now)
        layers = broken_layers(rest.stood, Auditor(job, loaded.weather))
        words = (*(one.words for one in missed), *(one.words for one in layers))
        return Start(old, rest.base, rest.now, rest.begun, missed, words)
    return Start(old, old, slot, None)
