"""One shift of one gang in a plan, with all that its sheet is written from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from planner.audit.case import Case, Exact, JobSide
from planner.audit.check import Auditor
from planner.audit.duties import Duty
from planner.audit.gaps import GapRow, gap_rows
from planner.calendars.shifts import ShiftTime, shift_times
from planner.findings import Finding, Weight
from planner.intervals import Interval
from planner.model import Job, MethodOperation, Placement, Plan
from planner.sheets.words import Clock, clean
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class RealVisit:
    """What the site record tells of a visit: minutes, with no finish where none is recorded; planned: its plan.

    readings: what was read, by name.
    """

    start: int
    finish: int | None
    planned: Placement | None
    readings: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Planned:
    """A job, its weather and one plan of it; what all its sheets share is worked out once.

    exact: minutes that the site record tells of work in the plan. found: what is broken, where the record has been
    read into it; left out, what the audit finds. real: what is recorded, by operation and visit.
    stops: why work may not go on before the engineer has decided, by operation. issued_on: which issue this is, and
    on which forecast it was handed out, where that is not `weather`.
    """

    job: Job
    weather: JobWeather
    plan: Plan
    exact: Exact = field(default_factory=dict)
    found: tuple[Finding, ...] | None = None
    real: Mapping[tuple[str, int], RealVisit] = field(default_factory=dict)
    stops: Mapping[str, str] = field(default_factory=dict)
    issued_on: str = ""

    def stop_of(self, visit: Placement) -> str:
        """Return why a visit that has not begun waits for the engineer; "" where it does not."""
        return "" if self.real_of(visit) is not None else self.stops.get(visit.operation, "")

    def real_of(self, visit: Placement) -> RealVisit | None:
        """Return what is recorded of a visit, if anything is."""
        return self.real.get((visit.operation, visit.visit))

    def as_planned(self, visit: Placement) -> Placement:
        """Return a visit as it was planned, whatever was recorded of it."""
        real = self.real_of(visit)
        return visit if real is None or real.planned is None else real.planned

    @cached_property
    def auditor(self) -> Auditor:
        """Audits this job's plans."""
        return Auditor(self.job, self.weather)

    @cached_property
    def side(self) -> JobSide:
        """The job as the plan works it: with the alternatives and remedies that it uses."""
        return self.auditor.side_of(self.plan)

    @cached_property
    def case(self) -> Case:
        """The plan before the audit."""
        return Case(self.side, self.plan, None, self.exact)

    @cached_property
    def breaches(self) -> tuple[Finding, ...]:
        """What the audit finds broken."""
        found = self.auditor.audit(self.plan, self.exact) if self.found is None else self.found
        return tuple(one for one in found if one.weight is Weight.BREACH)

    @cached_property
    def gaps(self) -> tuple[GapRow, ...]:
        """Every gap of the plan."""
        return gap_rows(self.job, self.weather, self.plan, self.auditor, exact=self.exact)

    @cached_property
    def all_shifts(self) -> tuple[ShiftTime, ...]:
        """The shifts of all gangs in which the plan has work."""
        return tuple(shift for gang in self.job.gangs for shift in self.shifts(gang.id))

    def shifts(self, gang: str) -> tuple[ShiftTime, ...]:
        """Return the shifts of a gang in which the plan has work, in order of time.

        Work outside any shift is a shift of its own, without a name: a plan that is broken still has a sheet.
        """
        visits = [placed for placed in self.plan.placements if placed.gang == gang]
        known = [
            shift
            for shift in shift_times(self.job.gang(gang), self.job)
            if any(begins_in(placed, shift) for placed in visits)
        ]
        stray = [placed for placed in visits if not any(begins_in(placed, shift) for shift in known)]
        return tuple(sorted([*known, *self._stray(gang, stray)], key=lambda shift: shift.interval))

    def _stray(self, gang: str, visits: list[Placement]) -> Iterator[ShiftTime]:
        for day in sorted({self.job.time.day_of(placed.start) for placed in visits}):
            own = [placed for placed in visits if self.job.time.day_of(placed.start) == day]
            span = Interval(min(one.start for one in own), max(one.finish for one in own))
            yield ShiftTime(gang, "", day, span)


def begins_in(placed: Placement, shift: ShiftTime) -> bool:
    """Say whether a visit begins within a shift."""
    return shift.interval.start <= placed.start < shift.interval.finish


@dataclass(frozen=True, eq=False)
class Scene:
    """One shift with its visits in order of time."""

    planned: Planned
    shift: ShiftTime

    @cached_property
    def visits(self) -> tuple[Placement, ...]:
        """The visits that begin in the shift."""
        own = [one for one in self.planned.plan.placements if one.gang == self.shift.gang]
        return tuple(sorted((one for one in own if begins_in(one, self.shift)), key=lambda one: one.start))

    @cached_property
    def span(self) -> Interval:
        """The shift, with overtime where work goes on past its finish."""
        last = max(one.finish for one in self.visits)
        return Interval(self.shift.interval.start, max(self.shift.interval.finish, last))

    @cached_property
    def clock(self) -> Clock:
        """Tells times of this shift."""
        return Clock(self.planned.job.time, self.span)

    @property
    def day(self) -> date:
        """The local day on which the shift starts."""
        return self.shift.day

    def duty(self, visit: Placement) -> Duty:
        """Return what a visit's operation demands."""
        return self.planned.side.duties[visit.operation]

    def operation(self, visit: Placement) -> MethodOperation:
        """Return a visit's operation as the plan does it."""
        owner, _, name = visit.operation.partition("/")
        job = self.planned.side.job
        return next(one for one in job.method(job.element(owner).method).operations if one.id == name)

    def work(self, visit: Placement) -> str:
        """Return a visit's operation and element for people."""
        duty = self.duty(visit)
        return f"{clean(duty.name, 80)}, {clean(duty.element.name, 80)}"

    def worked(self, visit: Placement) -> tuple[int, int]:
        """Return the minutes of a visit: those recorded, else (or for a finish not recorded) its slots'."""
        real = self.planned.real_of(visit)
        start, finish = visit.start * SLOT_MINUTES, visit.finish * SLOT_MINUTES
        return (start, finish) if real is None else (real.start, real.finish or finish)

    def is_first(self, visit: Placement) -> bool:
        """Say whether the operation starts with this visit."""
        return self.planned.plan.visits_of(visit.operation)[0] == visit
