"""What follows from a recorded start or finish: gaps met or missed, and when the next layers may go on."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.gap_clock import GapBounds, gap_bounds
from planner.audit.ties import Wait
from planner.audit.wording import at_minute, length_words
from planner.sheets.words import NOTE_LENGTH, clean
from planner.site_record.as_stands import AsStands
from planner.site_record.mending import mending_words
from planner.units import SiteTime

STILL_TO_BE_RELEASED = "It reopens only when somebody entitled to do so has released it, on site."
NOT_RELEASED_HERE = "Somebody must have released it before it started: this record does not say so."


DECIDE = (
    "to be decided on site: what mends it is recorded as done again, and planning again then plans this layer again; "
    "or the engineer decides. Nothing may go over it before."
)


class Standing(StrEnum):
    """How the later end of a gap sits in it."""

    AHEAD = "ahead"
    """It has not happened; as planned it is met."""
    EARLY = "early"
    MISSED = "missed"
    MET = "met"


@dataclass(frozen=True)
class Following:
    """One gap after a recorded operation, by the minute.

    opens, shuts: first and last minute for `before`; None where there is none, or none within the job. planned: the
    minute at which it is planned, or was recorded (`is_real`). ends: which end of it the gap is about.
    """

    after: str
    before: str
    name: str
    ends: str
    opens: int | None
    shuts: int | None
    never_opens: bool
    planned: int
    is_real: bool
    standing: Standing
    remedy: str


def is_lost(one: Following, now: int) -> bool:
    """Say whether a gap was missed: its work came too late, will come too late, or can't come in time any more."""
    shut = one.shuts is not None and one.shuts < now and not one.is_real
    return shut or one.standing is Standing.MISSED


def followings(stood: AsStands, auditor: Auditor, operation: str) -> tuple[Following, ...]:
    """Return the gaps that begin at `operation`, whose start or finish is recorded, in order of their opening."""
    found = (_following(case, stood, wait) for case, wait in _waits(stood, auditor) if wait.after == operation)
    return tuple(sorted((one for one in found if one), key=lambda one: (one.opens or 0, one.before)))


def followers(stood: AsStands, auditor: Auditor, operation: str) -> tuple[str, ...]:
    """Return the operations that a gap or an order ties to the end of `operation`."""
    side = auditor.side_of(stood.plan)
    waiting = [wait.before for wait in side.waits if wait.after == operation]
    return tuple(dict.fromkeys([*waiting, *(order.later for order in side.orders if order.earlier == operation)]))


def gaps_before(stood: AsStands, auditor: Auditor, operation: str) -> tuple[Following, ...]:
    """Return the gaps that end at `operation`."""
    found = (_following(case, stood, wait) for case, wait in _waits(stood, auditor) if wait.before == operation)
    return tuple(one for one in found if one)


def _waits(stood: AsStands, auditor: Auditor) -> Iterator[tuple[Case, Wait]]:
    case = Case(auditor.side_of(stood.plan), stood.plan, None, stood.exact)
    return ((case, wait) for wait in case.side.waits if case.planned(wait.after, wait.before))


def _following(case: Case, stood: AsStands, wait: Wait) -> Following | None:
    """Return a gap; None where what it is measured from has not happened."""
    anchor = stood.exact.get((wait.after, wait.after_end))
    if anchor is None and wait.after not in stood.progress.begun:
        return None
    if anchor is None and any(key == wait.after for key, _ in stood.progress.recorded):
        return None
    bounds = gap_bounds(case.side, wait, case.minute(wait.after, wait.after_end))
    planned = case.minute(wait.before, wait.before_end)
    is_real = (wait.before, wait.before_end) in stood.exact
    return Following(
        wait.after,
        wait.before,
        clean(case.side.duties[wait.before].name, 80),
        wait.before_end,
        None if math.isinf(bounds.opens) else bounds.first_minute,
        None if math.isinf(bounds.shuts) else bounds.last_minute,
        bounds.opens == math.inf,
        planned,
        is_real,
        _standing(bounds, planned, is_real),
        clean(wait.remedy, NOTE_LENGTH),
    )


def _standing(bounds: GapBounds, planned: int, is_real: bool) -> Standing:
    if bounds.is_early(planned):
        return Standing.EARLY
    if bounds.is_late(planned):
        return Standing.MISSED
    return Standing.MET if is_real else Standing.AHEAD


def following_words(one: Following, time: SiteTime, now: int) -> str:
    """Return one gap for the foreman: "First coat may go on from Thu 25 Mar 14:15 until …; planned …"."""
    goes = "may go on" if one.ends == "start" else "may be finished"
    if one.never_opens:
        return f"{one.name} {goes}: not within the job's days; planned {at_minute(time, one.planned)}."
    when = f"{one.name} {goes} {_range_words(one, time)}"
    if one.is_real:
        return f"{when}; it was {_what_it_was(one, time)}"
    if one.standing is Standing.MISSED:
        gone = "has shut" if one.shuts is not None and one.shuts < now else "will have shut"
        return f"{when}; planned {at_minute(time, one.planned)}: the gap {gone}.{_remedy(one)}"
    if one.standing is Standing.EARLY:
        return f"{when}; planned {at_minute(time, one.planned)}, too early: wait."
    if one.shuts is not None and one.shuts < now:
        return f"{when}: the gap has shut.{_remedy(one)}"
    return f"{when}; planned {at_minute(time, one.planned)}."


def _range_words(one: Following, time: SiteTime) -> str:
    first = "at once" if one.opens is None else f"from {at_minute(time, one.opens)}"
    return first if one.shuts is None else f"{first} until {at_minute(time, one.shuts)}"


def _what_it_was(one: Following, time: SiteTime) -> str:
    done = "started" if one.ends == "start" else "finished"
    at = f"{done} {at_minute(time, one.planned)}"
    if one.standing is Standing.EARLY and one.opens is not None:
        return f"{at}, {length_words(one.opens - one.planned)} too early.{_remedy(one)}"
    if one.standing is Standing.MISSED and one.shuts is not None:
        return f"{at}, {length_words(one.planned - one.shuts)} too late: the gap was missed.{_remedy(one)}"
    return f"{at}, inside the gap."


def _remedy(one: Following) -> str:
    return f" {one.remedy}" if one.remedy else ""


def next_lines(stood: AsStands, auditor: Auditor, operation: str) -> Iterator[str]:
    """Yield what follows from what is recorded of an operation: its own gap first, then the next layers."""
    time, now = stood.progress.job.time, stood.progress.now
    yield from hold_lines(stood, auditor, operation)
    for one in gaps_before(stood, auditor, operation):
        if one.is_real and one.standing in (Standing.EARLY, Standing.MISSED):
            yield f"missed: {following_words(one, time, now)}"
            yield DECIDE
    ahead = [one for one in followings(stood, auditor, operation) if not one.is_real]
    for one in ahead:
        label = "missed" if is_lost(one, now) else "next"
        mending = f" {_mending(stood, one)}" if label == "missed" else ""
        yield f"{label}: {following_words(one, time, now)}{mending.rstrip()}{_only_once(stood, auditor, one.before)}"
    if not ahead:
        yield from _order_lines(stood, auditor, operation)


def _mending(stood: AsStands, one: Following) -> str:
    """Return what planning makes of a gap that has shut; "" where it has not: it can still be met."""
    has_shut = one.shuts is not None and one.shuts < stood.progress.now
    return mending_words(stood.progress.job, one.after, one.before) if has_shut else ""


def hold_lines(stood: AsStands, auditor: Auditor, operation: str) -> Iterator[str]:
    """Yield a reminder where work with a hold point is recorded: nothing recorded here releases it.

    That before the work once it has begun, that before the lane reopens once it is finished.
    """
    duty = auditor.side_of(stood.plan).duties.get(operation)
    begun = any(key == operation for key, _ in stood.progress.recorded)
    if duty is not None and duty.hold_point and begun:
        words = clean(duty.hold_point, NOTE_LENGTH).rstrip(".")
        yield f"hold point: {words}. {NOT_RELEASED_HERE}"
    if duty is not None and duty.reopening_hold and (operation, "finish") in stood.exact:
        words = clean(duty.reopening_hold, NOTE_LENGTH).rstrip(".")
        yield f"hold point before the lane reopens: {words}. {STILL_TO_BE_RELEASED}"


def _only_once(stood: AsStands, auditor: Auditor, operation: str) -> str:
    """Return what else the next work waits for on site: its release, its lanes."""
    duty = auditor.side_of(stood.plan).duties.get(operation)
    if duty is None:
        return ""
    lanes = " Only in its closure." if duty.lanes else ""
    return f"{lanes} Hold point: only once it is released." if duty.hold_point else lanes


def _order_lines(stood: AsStands, auditor: Auditor, operation: str) -> Iterator[str]:
    """Yield what follows without a gap."""
    case = Case(auditor.side_of(stood.plan), stood.plan, None, stood.exact)
    time = stood.progress.job.time
    done = (operation, "finish") in stood.exact
    for order in case.side.orders:
        if order.earlier == operation and order.later in case.visits and order.later not in stood.progress.begun:
            planned = at_minute(time, case.minute(order.later, "start"))
            may = "may follow at once" if done else "follows when this has finished"
            name, besides = clean(case.side.duties[order.later].name, 80), _only_once(stood, auditor, order.later)
            yield f"next: {name} {may}; planned {planned}.{besides}"
