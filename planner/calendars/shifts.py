"""When the gangs work: each shift of each gang as slots, from its recurrence rule, in the site's wall time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import NamedTuple

from planner.calendars.rules import check_rule, rule_starts
from planner.intervals import Interval
from planner.model import Gang, Job, Shift
from planner.units import SLOT_MINUTES, SiteTime

__all__ = ["ShiftTime", "check_rule", "shift_times"]


@dataclass(frozen=True)
class ShiftTime:
    """One shift of one gang: `day` is the local day on which it starts, `interval` its slots within the job.

    overtime: slots after `interval` in which work may go on at `overtime_cost_per_h` [money/h]: up to where the
    gang's next shift starts; none if that is before this one's finish.
    paid_until: the shift's finish on the slot axis, between slots where it is off the quarter-hours.
    """

    gang: str
    name: str
    day: date
    interval: Interval
    overtime: int = 0
    overtime_cost_per_h: float = 0.0
    paid_until: float = 0.0

    @property
    def with_overtime(self) -> Interval:
        """The shift's slots with those of its overtime."""
        return Interval(self.interval.start, self.interval.finish + self.overtime)


def shift_times(gang: Gang, job: Job) -> tuple[ShiftTime, ...]:
    """Return the shifts of `gang` that have slots inside the job, sorted, clipped to [0, horizon].

    No shift starts before its anchor, which is the job's first day where none is given; one that an earlier anchor
    lets start the evening before the first day, and that reaches into it, counts. Days off of the job and of the
    gang remove the shifts that *start* on them. Raises ValueError with the gang's and shift's names for a bad rule.
    """
    return _shift_times(gang, job.job.days_off, job.time)


@lru_cache(maxsize=256)
def _shift_times(gang: Gang, days_off: tuple[date, ...], time: SiteTime) -> tuple[ShiftTime, ...]:
    """Return `shift_times`, kept: check, problem, audit, sheets and board all ask for the same."""
    off = {*days_off, *gang.days_off}
    found: list[ShiftTime] = []
    for shift in gang.shifts:
        try:
            spans = _spans(shift, time)
        except ValueError as error:
            raise ValueError(f"gang {gang.id}, shift {shift.name!r}: {error}") from error
        found += [_shift_time(gang.id, shift, span) for span in spans if span.day not in off]
    found.sort(key=lambda one: (one.interval, one.name))
    return tuple(_till_next(one, found[place + 1 :]) if one.overtime else one for place, one in enumerate(found))


class _Span(NamedTuple):
    """One shift on the slot axis: its day, slots, slots of overtime after them, and its finish between slots."""

    day: date
    interval: Interval
    overtime: int
    paid_until: float


@lru_cache(maxsize=256)
def _spans(shift: Shift, time: SiteTime) -> tuple[_Span, ...]:
    """Return the shift's slots on each of its days, kept: many gangs work the same shift; ValueError: a bad rule."""
    return tuple(span for day in _start_days(shift, time) for span in _made(shift, day, time))


def _start_days(shift: Shift, time: SiteTime) -> Iterator[date]:
    """Yield the days on which `shift` starts, from the eve of the job's first day on.

    INTERVAL and COUNT count from the anchor, the job's first day where none is given; there is no shift before it.
    """
    start = datetime.combine(shift.anchor or time.first_day, shift.start)
    eve = time.first_day - timedelta(days=1)
    last = time.first_day + timedelta(days=time.days)
    for moment in rule_starts(shift.rule, start, time.zone, last):
        if moment.date() >= eve:
            yield moment.date()


def _made(shift: Shift, day: date, time: SiteTime) -> Iterator[_Span]:
    """Yield the shift's slots inside the job, if any: wall times, so a clock-change night is longer or shorter."""
    over_midnight = shift.finish <= shift.start
    opens = time.instant(day, shift.start)
    closes = time.instant(day + timedelta(days=1) if over_midnight else day, shift.finish)
    first = max(0, time.slot_up(opens))
    last = min(time.horizon, time.slot_of(closes))
    if first < last:
        latest = min(time.horizon, time.slot_of(closes + timedelta(hours=shift.overtime_h)))
        paid_until = time.minutes_of(closes) / SLOT_MINUTES
        yield _Span(day, Interval(first, last), latest - last, paid_until)


def _shift_time(gang: str, shift: Shift, span: _Span) -> ShiftTime:
    cost = shift.overtime_cost_per_h
    return ShiftTime(gang, shift.name, span.day, span.interval, span.overtime, cost, span.paid_until)


def _till_next(shift: ShiftTime, later: Sequence[ShiftTime]) -> ShiftTime:
    """Return the shift with its overtime cut at the start of the gang's next one."""
    start = next((one.interval.start for one in later if one.interval.start > shift.interval.start), None)
    if start is None:
        return shift
    return replace(shift, overtime=max(0, min(shift.overtime, start - shift.interval.finish)))
