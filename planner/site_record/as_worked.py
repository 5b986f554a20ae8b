"""What recorded work was done against: a lane open to traffic, the dark, plant in use elsewhere, no shift.

No plan can mend it any more, so it is told rather than planned round: to the minute where a lane is concerned.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from planner.audit import gang_checks, light_checks, plant_checks
from planner.audit.case import Case, JobSide
from planner.audit.check import Auditor
from planner.audit.duties import Duty
from planner.audit.shifts import near_shifts, worked_shift
from planner.audit.wording import at_minute, length_words, span_words
from planner.findings import Finding, Weight
from planner.model import Closure, Gang, Placement, RecordedVisit
from planner.site_record.as_stands import AsStands
from planner.units import SLOT_MINUTES, Slot

CORRECT = "If the time recorded is wrong, correct the entry; if it is right, report it: no plan can mend it."
TOLD_ANEW = frozenset(
    {
        "closure-missing",
        "outside-closure",
        "outside-shift",
        "dark",
        "plant-over",
        "skill",
        "gang-busy",
        "move-too-short",
    }
)
"""Codes of the audit that are judged here by the minutes recorded, where the work is recorded."""
_LEEWAY_MIN = SLOT_MINUTES
"""Minutes by which a gang may be before or after its shift without a word: the plan tells no smaller time."""
_WEIGHTS = {"dark": Weight.BREACH, "plant-over": Weight.BREACH, "skill": Weight.ADVICE, "gang-busy": Weight.ADVICE}
"""Of the audit's codes, those that are told of recorded work. A gang can have been parted: that is for people."""


def worked_findings(stood: AsStands, auditor: Auditor) -> Iterator[Finding]:
    """Yield what rules recorded work broke, beside gaps, weather and readings."""
    side = auditor.side_of(stood.plan)
    for visit, placed in stood.recorded_visits:
        duty = side.duties.get(visit.operation)
        if duty is not None:
            yield from _in_lane(side, visit, placed, duty)
            yield from _in_shift(side, visit, placed, duty)
    yield from _in_whole_slots(stood, side)


def _in_lane(side: JobSide, visit: RecordedVisit, placed: Placement, duty: Duty) -> Iterator[Finding]:
    """Yield one breach where work was in the lane before it was shut, or was still there when it was to be clear."""
    closure = side.closures.get(placed.closure or "")
    if visit.start is None:
        return
    if closure is None:
        yield from _no_closure(side, visit, duty)
        return
    opens, clears = side.works[closure.id]
    parts = []
    if visit.start < opens:
        parts.append(_before(side, closure, visit.start, opens))
    elif visit.start >= clears:
        parts.append(f"started {at_minute(side.time, visit.start)}, {_after(side, closure, visit.start, clears)}")
    if visit.finish is not None and visit.finish > clears and visit.start < clears:
        parts.append(f"finished {at_minute(side.time, visit.finish)}, {_after(side, closure, visit.finish, clears)}")
    if parts:
        window = span_words(side.time, opens, clears) if opens < clears else "no time at all"
        yield Finding(
            "outside-closure",
            duty.key,
            f"{duty.called} between set-out and clearing of {side.names.closure(closure.id)}: {window}",
            f"recorded as worked in the lane: {' and '.join(parts)}",
            visit.start // SLOT_MINUTES,
            remedy=CORRECT,
        )


def _no_closure(side: JobSide, visit: RecordedVisit, duty: Duty) -> Iterator[Finding]:
    if duty.lanes:
        needed = f"a closure of {side.names.lanes_of(duty.lanes)} for {duty.called}"
        slot = (visit.start or 0) // SLOT_MINUTES
        yield Finding(
            "closure-missing", duty.key, needed, f"recorded as worked {_span(side, visit)}", slot, remedy=CORRECT
        )


def _before(side: JobSide, closure: Closure, start: int, opens: int) -> str:
    cones = side.time.minutes_of(side.time.wall(closure.start))
    early = f"started {at_minute(side.time, start)}, {_minutes(opens - start)} before the closure shut it"
    return f"{early} ({_minutes(cones - start)} before cones on)" if start < cones else early


def _after(side: JobSide, closure: Closure, minute: int, clears: int) -> str:
    off = side.time.minutes_of(side.time.wall(closure.finish))
    if minute > off:
        return f"{_minutes(minute - off)} after cones off"
    return f"{_minutes(minute - clears)} after work had to be out of it, the cones being lifted"


def _minutes(minutes: int) -> str:
    """Return "70 min", in hours from two hours on."""
    return f"{minutes} min" if minutes < 120 else length_words(minutes)


def _in_shift(side: JobSide, visit: RecordedVisit, placed: Placement, duty: Duty) -> Iterator[Finding]:
    """Yield a breach where work lay in no shift of its gang at all, and advice where it was longer than the shift."""
    gang = side.gangs.get(placed.gang)
    if gang is None or visit.start is None:
        return
    start = visit.start
    finish = max(placed.finish * SLOT_MINUTES if visit.finish is None else visit.finish, start + 1)
    first, last = start + _LEEWAY_MIN, finish - _LEEWAY_MIN
    if worked_shift(side, gang, start, finish) or (first < last and worked_shift(side, gang, first, last)):
        return
    met = any(one.start < finish and start < one.latest for one in near_shifts(side, gang, start))
    if met and visit.finish is None:
        return
    yield Finding(
        "outside-shift",
        duty.key,
        f"{duty.called} inside one shift of {side.names.gang(gang.id)}{_shifts(side, gang, start)}",
        f"recorded as worked {_span(side, visit)}",
        start // SLOT_MINUTES,
        Weight.ADVICE if met else Weight.BREACH,
        "" if met else CORRECT,
    )


def _shifts(side: JobSide, gang: Gang, minute: int) -> str:
    near = sorted({(one.start, one.latest) for one in near_shifts(side, gang, minute)})
    return f" ({'; '.join(span_words(side.time, *one) for one in near)})" if near else ", which has none that day"


def _span(side: JobSide, visit: RecordedVisit) -> str:
    start = visit.start or 0
    if visit.finish is None:
        return f"from {at_minute(side.time, start)}"
    return span_words(side.time, start, visit.finish)


def _in_whole_slots(stood: AsStands, side: JobSide) -> Iterator[Finding]:
    """Yield what the audit finds in the slots that recorded work filled for certain: never by rounding alone."""
    recorded = {(placed.operation, placed.visit): visit for visit, placed in stood.recorded_visits}
    shrunk = tuple(
        _certain(recorded[one.operation, one.visit], one) if (one.operation, one.visit) in recorded else one
        for one in stood.plan.placements
    )
    case = Case(side, replace(stood.plan, placements=tuple(one for one in shrunk if one is not None)))
    known = {visit.operation for visit in recorded.values()}
    for family in (gang_checks.check, plant_checks.check, light_checks.check):
        for one in family(case):
            if one.place in known and one.code in _WEIGHTS:
                yield replace(one, weight=_WEIGHTS[one.code], remedy=CORRECT)


def _certain(visit: RecordedVisit, placed: Placement) -> Placement | None:
    """Return a visit with the slots that it filled whole; of one under way, none after its start is certain."""
    start = -(-(visit.start or 0) // SLOT_MINUTES)
    finish = start + 1 if visit.finish is None else visit.finish // SLOT_MINUTES
    return replace(placed, start=Slot(start), finish=Slot(finish)) if start < finish else None
