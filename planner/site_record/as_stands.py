"""The plan as it stands: recorded visits in the place of the planned ones, what is later where it was planned."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from planner.audit.case import Exact, JobSide
from planner.audit.check import Auditor
from planner.audit.shifts import near_shifts
from planner.audit.terms import valued_again
from planner.calendars.closures import closure_window
from planner.intervals import Interval
from planner.model import Element, Gang, Job, Placement, Plan, PlanStatus, RecordedVisit
from planner.model.keys import element_of
from planner.site_record.done_again import undone_by
from planner.site_record.progress import Progress
from planner.units import SLOT_MINUTES, Slot


@dataclass(frozen=True, eq=False)
class AsStands:
    """A plan with what really happened in it.

    plan: its slots hold the minutes recorded: starts are rounded down and finishes up. exact: those minutes, for the
    audit. Work under way is taken to last as long as planned, and while its gang's shift lasts until now at least:
    a finish that nobody recorded must not make the work go on through nights and days.
    """

    progress: Progress
    plan: Plan
    exact: Exact

    @property
    def now(self) -> int:
        """The first slot that begins at or after now."""
        return -(-self.progress.now // SLOT_MINUTES)

    @cached_property
    def real(self) -> frozenset[tuple[str, int]]:
        """The operations and start slots of the recorded visits."""
        return frozenset((placed.operation, placed.start) for _, placed in self.recorded_visits)

    @cached_property
    def recorded_visits(self) -> tuple[tuple[RecordedVisit, Placement], ...]:
        """What is recorded of each visit, with its place in the plan."""
        recorded = self.progress.recorded
        return tuple((recorded[_key(one)], one) for one in self.plan.placements if _key(one) in recorded)


def as_stands(job: Job, plan: Plan, now: int, auditor: Auditor) -> AsStands:
    """Return `plan` as it stands at minute `now`; auditor: of this job and its weather."""
    first = _read(Progress(job, plan, now), auditor)
    undone = undone_by(auditor.side_of(first.plan), first.progress.told.values())
    return _read(Progress(job, plan, now, undone), auditor) if undone else first


def progress_of(job: Job, plan: Plan, now: int, auditor: Auditor) -> Progress:
    """Return the record read against a plan at minute `now`; quick where nothing can have been done again."""
    first = Progress(job, plan, now)
    usual = {f"{element.id}/{one.id}" for element in job.elements for one in job.method(element.method).operations}
    is_plain = all(visit == 1 and key in usual for key, visit in first.told)
    return first if is_plain else as_stands(job, plan, now, auditor).progress


def _read(progress: Progress, auditor: Auditor) -> AsStands:
    plan = progress.plan
    by_key = dict(progress.planned)
    for operation in dict.fromkeys(operation for operation, _ in progress.recorded):
        by_key[operation] = tuple(_visits(progress, operation, auditor))
    placements = _apart(progress, [one for visits in by_key.values() for one in visits])
    there = replace(plan, placements=tuple(sorted(placements, key=lambda one: (one.start, one.operation))))
    return AsStands(progress, _valued(there, plan, auditor), dict(_exact(progress, by_key)))


def _key(placed: Placement) -> tuple[str, int]:
    return placed.operation, placed.visit


def _visits(progress: Progress, operation: str, auditor: Auditor) -> Iterator[Placement]:
    """Yield the visits of an operation of which something is recorded."""
    planned = {one.visit: one for one in progress.planned.get(operation, ())}
    recorded = {number: one for (key, number), one in progress.recorded.items() if key == operation}
    ended = _is_ended(operation, recorded.values(), auditor, progress.plan)
    for number in sorted({*planned, *recorded}):
        if number in recorded:
            known = planned.get(number) or next(iter(planned.values()), None)
            yield _real(progress, recorded[number], known, auditor.side_of(progress.plan))
        elif not ended or number < max(recorded):
            yield planned[number]


def _is_ended(operation: str, recorded: Iterable[RecordedVisit], auditor: Auditor, plan: Plan) -> bool:
    """Say whether nothing is left to do: the record says so, or what it holds is as long as the whole work."""
    visits = tuple(recorded)
    if any(one.last and one.finish is not None for one in visits):
        return True
    minutes = sum(one.finish - (one.start or 0) for one in visits if one.finish is not None)
    duty = auditor.side_of(plan).duties.get(operation)
    return duty is not None and minutes >= duty.slots * SLOT_MINUTES


def _real(progress: Progress, one: RecordedVisit, planned: Placement | None, side: JobSide) -> Placement:
    duty = side.duties.get(one.operation)
    start = (one.start or 0) // SLOT_MINUTES
    whole = duty.slots if duty is not None else 1
    length = planned.finish - planned.start if planned is not None else whole
    gang = one.gang or (planned.gang if planned is not None else _able(progress.job, one.operation).id)
    if one.finish is None:
        goes_on = progress.now <= _shift_ends(side, gang, one.start or 0)
        finish = max(start + length, -(-progress.now // SLOT_MINUTES) if goes_on else 0)
    else:
        finish = -(-one.finish // SLOT_MINUTES)
    lanes = duty.lanes if duty is not None else ()
    closure = _closure(progress.job, one, lanes, planned.closure if planned is not None else None)
    way = planned.alternative if planned is not None else None
    return Placement(one.operation, one.visit, gang, Slot(start), Slot(max(finish, start + 1)), closure, way)


def _shift_ends(side: JobSide, gang: str, minute: int) -> int:
    """Return when the shift in which a gang was at a minute is over for certain; that minute where it was in none."""
    known = side.gangs.get(gang)
    near = near_shifts(side, known, minute) if known is not None else ()
    return max((one.latest for one in near if one.start <= minute < one.latest), default=minute)


def _able(job: Job, operation: str) -> Gang:
    """Return the first gang with the skill of an operation that was not planned, such as a remedy."""
    element, name = _element(job, operation), operation.partition("/")[2]
    method = job.method(element.method)
    remedies = [remedy for gap in method.gaps if (remedy := job.remedy_for(element, gap)) is not None]
    skills = {one.id: one.skill for one in method.operations} | {one.id: one.skill for one in remedies}
    return next((gang for gang in job.gangs if skills.get(name) in gang.skills), job.gangs[0])


def _element(job: Job, operation: str) -> Element:
    return job.element(element_of(operation))


def _closure(job: Job, one: RecordedVisit, lanes: tuple[str, ...], planned: str | None) -> str | None:
    """Return the closure in which work was, or to which it was nearest: of its lanes, the planned one in doubt."""
    if not lanes:
        return planned
    start = (one.start or 0) / SLOT_MINUTES
    near = {
        closure.id: _distance(closure_window(closure, job.time).whole, start)
        for closure in job.closures
        if set(lanes) <= set(closure.lanes)
    }
    return min(near, key=lambda name: (near[name], name != planned), default=planned)


def _distance(whole: Interval, slot: float) -> float:
    """Return how many slots `slot` lies outside a closure; 0 within it."""
    return max(whole.start - slot, slot - whole.finish, 0.0)


def _apart(progress: Progress, placements: list[Placement]) -> Iterator[Placement]:
    """Yield the placements; a slot in which one recorded visit ends and the next begins is the earlier one's."""
    until: dict[str, int] = {}
    for placed in sorted(placements, key=lambda one: (one.start, one.finish)):
        if _key(placed) in progress.recorded:
            taken = until.get(placed.gang, 0)
            if placed.start < taken <= placed.start + 1 and taken < placed.finish:
                placed = replace(placed, start=Slot(taken))
            until[placed.gang] = max(taken, placed.finish)
        yield placed


def _valued(plan: Plan, was: Plan, auditor: Auditor) -> Plan:
    """Return the plan with what it now comes to; nothing is proved of it."""
    value = valued_again(auditor.side_of(plan), plan, auditor.side_of(was), was)
    return replace(plan, status=PlanStatus.FEASIBLE, value=value, bound=min(plan.bound, value))


def _exact(progress: Progress, by_key: dict[str, tuple[Placement, ...]]) -> Iterator[tuple[tuple[str, str], int]]:
    """Yield the recorded minutes of the first start and, where the work is over, of the last finish of operations."""
    for operation, visits in by_key.items():
        ordered = sorted(visits, key=lambda one: one.start)
        first, last = (progress.recorded.get(_key(one)) for one in (ordered[0], ordered[-1]))
        if first is not None and first.start is not None:
            yield (operation, "start"), first.start
        if last is not None and last.finish is not None:
            yield (operation, "finish"), last.finish
