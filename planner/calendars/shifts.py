"""When the gangs work: each shift of each gang as slots, from its recurrence rule, in the site's wall time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.calendars.rules import check_rule, rule_starts
from planner.intervals import Interval
from planner.model import Gang, Job, Shift
from planner.units import SiteTime

__all__ = ["ShiftTime", "check_rule", "shift_times"]


@dataclass(frozen=True)
class ShiftTime:
    """One shift of one gang: `day` is the local day on which it starts, `interval` its slots within the job."""

    gang: str
    name: str
    day: date
    interval: Interval


def shift_times(gang: Gang, job: Job) -> tuple[ShiftTime, ...]:
    """Return the shifts of `gang` that have slots inside the job, sorted, clipped to [0, horizon].

    A shift that starts the evening before the first day and reaches into it counts. Days off of the job and of the
    gang remove the shifts that *start* on them. Raises ValueError with the gang's and shift's names for a bad rule.
    """
    off = {*job.job.days_off, *gang.days_off}
    found = [
        ShiftTime(gang.id, shift.name, day, interval)
        for shift in gang.shifts
        for day in _start_days(gang, shift, job.time)
        if day not in off
        for interval in _slots(shift, day, job.time)
    ]
    return tuple(sorted(found, key=lambda one: (one.interval, one.name)))


def _start_days(gang: Gang, shift: Shift, time: SiteTime) -> Iterator[date]:
    """Yield the days on which `shift` starts, from the eve of the job's first day on.

    INTERVAL and COUNT count from the anchor, before which there is no shift; without one they count from the job's
    first day, and the pattern holds on the eve too.
    """
    start = datetime.combine(shift.anchor or time.first_day, shift.start)
    eve = time.first_day - timedelta(days=1)
    last = time.first_day + timedelta(days=time.days)
    try:
        for moment in rule_starts(shift.rule, start, time.zone, last, reach_back=shift.anchor is None):
            if moment.date() >= eve:
                yield moment.date()
    except ValueError as error:
        raise ValueError(f"gang {gang.id}, shift {shift.name!r}: {error}") from error


def _slots(shift: Shift, day: date, time: SiteTime) -> Iterator[Interval]:
    """Yield the shift's slots inside the job, if any: wall times, so a clock-change night is longer or shorter."""
    over_midnight = shift.finish <= shift.start
    opens = time.instant(day, shift.start)
    closes = time.instant(day + timedelta(days=1) if over_midnight else day, shift.finish)
    first = max(0, time.slot_up(opens))
    last = min(time.horizon, time.slot_of(closes))
    if first < last:
        yield Interval(first, last)
