"""When the gangs work: each shift of each gang as slots, from its recurrence rule, in the site's wall time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

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
    off = {*job.job.days_off, *gang.days_off}
    found = [
        made
        for shift in gang.shifts
        for day in _start_days(gang, shift, job.time)
        if day not in off
        for made in _made(gang.id, shift, day, job.time)
    ]
    found.sort(key=lambda one: (one.interval, one.name))
    return tuple(_till_next(one, found[place + 1 :]) for place, one in enumerate(found))


def _start_days(gang: Gang, shift: Shift, time: SiteTime) -> Iterator[date]:
    """Yield the days on which `shift` starts, from the eve of the job's first day on.

    INTERVAL and COUNT count from the anchor, the job's first day where none is given; there is no shift before it.
    """
    start = datetime.combine(shift.anchor or time.first_day, shift.start)
    eve = time.first_day - timedelta(days=1)
    last = time.first_day + timedelta(days=time.days)
    try:
        for moment in rule_starts(shift.rule, start, time.zone, last):
            if moment.date() >= eve:
                yield moment.date()
    except ValueError as error:
        raise ValueError(f"gang {gang.id}, shift {shift.name!r}: {error}") from error


def _made(gang: str, shift: Shift, day: date, time: SiteTime) -> Iterator[ShiftTime]:
    """Yield the shift's slots inside the job, if any: wall times, so a clock-change night is longer or shorter."""
    over_midnight = shift.finish <= shift.start
    opens = time.instant(day, shift.start)
    closes = time.instant(day + timedelta(days=1) if over_midnight else day, shift.finish)
    first = max(0, time.slot_up(opens))
    last = min(time.horizon, time.slot_of(closes))
    if first < last:
        latest = min(time.horizon, time.slot_of(closes + timedelta(hours=shift.overtime_h)))
        paid_until = time.minutes_of(closes) / SLOT_MINUTES
        cost = shift.overtime_cost_per_h
        yield ShiftTime(gang, shift.name, day, Interval(first, last), latest - last, cost, paid_until)


def _till_next(shift: ShiftTime, later: Sequence[ShiftTime]) -> ShiftTime:
    """Return the shift with its overtime cut at the start of the gang's next one."""
    start = next((one.interval.start for one in later if one.interval.start > shift.interval.start), None)
    if not shift.overtime or start is None:
        return shift
    return replace(shift, overtime=max(0, min(shift.overtime, start - shift.interval.finish)))
