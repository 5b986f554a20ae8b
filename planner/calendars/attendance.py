"""When somebody who releases hold points attends, on the slot axis; and notice counted on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

from planner.calendars.rules import rule_starts
from planner.intervals import Interval, union
from planner.model import Attendance, Job, Releaser
from planner.units import SiteTime

DAYS_BEFORE = 84
"""Days before the job's first day from which attendance is known: twelve weeks, so that weekly rules keep step."""


def attended(releaser: Releaser, job: Job) -> tuple[Interval, ...] | None:
    """Return the whole slots in which `releaser` attends, from twelve weeks before slot 0 on; None for at any time.

    Windows that touch are joined. Raises ValueError with the releaser's name for a bad rule.
    """
    if not releaser.attends:
        return None
    off = {*job.job.days_off, *releaser.days_off}
    try:
        windows = [one for attendance in releaser.attends for one in _windows(attendance, job.time, off)]
    except ValueError as error:
        raise ValueError(f"releaser {releaser.id}: {error}") from error
    return union(windows)


def _windows(attendance: Attendance, time: SiteTime, off: set[date]) -> Iterator[Interval]:
    first = attendance.anchor or time.first_day - timedelta(days=DAYS_BEFORE)
    last = time.first_day + timedelta(days=time.days)
    overnight = timedelta(days=1 if attendance.finish <= attendance.start else 0)
    begin = datetime.combine(first, attendance.start)
    for moment in rule_starts(attendance.rule, begin, time.zone, last):
        day = moment.date()
        start = time.slot_up(time.instant(day, attendance.start))
        finish = min(time.slot_of(time.instant(day + overnight, attendance.finish)), time.horizon)
        if day not in off and start < finish:
            yield Interval(start, finish)


def after_notice(windows: Sequence[Interval] | None, told: int, notice: int) -> int | None:
    """Return the first slot that is `notice` slots after slot `told`; counted in `windows` where they are given.

    None where the windows end before.
    """
    if windows is None or notice <= 0:
        return told + max(0, notice)
    left = notice
    for window in windows:
        begin = max(window.start, told)
        if window.finish - begin >= left:
            return begin + left
        left -= max(0, window.finish - begin)
    return None


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


def attendance_words(releaser: Releaser) -> str:
    """Return when somebody attends, such as "Mon, Tue 08:00 to 17:00"; other rules stand as they are."""
    said = [f"{_rule_words(one.rule)} {one.start:%H:%M} to {one.finish:%H:%M}" for one in releaser.attends]
    return "; ".join(said) or "at any time"


def _rule_words(rule: str) -> str:
    parts = dict(part.partition("=")[::2] for part in rule.upper().removeprefix("RRULE:").split(";"))
    days = parts.pop("BYDAY", "").split(",")
    if parts == {"FREQ": "DAILY"}:
        return "every day"
    if parts == {"FREQ": "WEEKLY"} and all(day in _WEEKDAYS for day in days):
        return ", ".join(_DAYS[_WEEKDAYS.index(day)] for day in days)
    return f"by the rule {rule}"
