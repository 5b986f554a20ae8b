"""The hold points of a plan: from when each can be released, when that is due at the latest, and the notice of it.

A hold point is released after all that goes before it is finished and open, and before its operation starts, by
somebody who attends all the while. Minutes count from slot 0; they are negative before the job's first day.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from planner.audit.case import Case, JobSide
from planner.audit.gap_clock import gap_bounds
from planner.audit.shift_days import WEEKS_BEFORE, attendance_days
from planner.audit.wording import at_minute, length_words
from planner.model import Attendance, Release, Releaser
from planner.units import SLOT_MINUTES

Span = tuple[float, float]
"""Minutes [first, last]."""
GRACE_MIN = 1.0
"""What the clocks of gaps can tell apart [min]."""


@dataclass(frozen=True)
class Due:
    """One hold point of a plan that somebody named must release.

    ready: minute from which it can be released, for all that goes before. start: minute of the operation's start.
    takes: minutes. at: the last span in which the release still fits; None where it fits in none.
    notice: minutes, counted in hours of attendance where `attended_only`. notice_by: the last minute for notice of a
    release at `at`; that of twelve weeks before the job where it would have to come even before that.
    """

    operation: str
    words: str
    who: Releaser
    ready: float
    start: int
    takes: float
    at: Span | None
    notice: float
    attended_only: bool
    notice_by: float | None


def dues(case: Case) -> Iterator[Due]:
    """Yield the hold points of a plan that somebody named releases, in the order of the job."""
    for duty, _ in case.chosen:
        if duty.release is not None:
            yield _due(case, duty.key, duty.hold_point, duty.release)


def _due(case: Case, key: str, words: str, release: Release) -> Due:
    who = case.side.job.releaser(release.by)
    start, ready = case.start(key) * SLOT_MINUTES, ready_minute(case, key)
    takes, windows = release.takes_h * 60, attendance(case.side, who)
    notice = (who.notice_h if release.notice_h is None else release.notice_h) * 60
    only = who.notice_in == "attended hours" and windows is not None
    at = _last_span(windows, ready, start, takes)
    by = None if at is None else _told_by(windows if only else None, at[0], notice, case.side)
    return Due(key, words, who, ready, start, takes, at, notice, only, by)


def ready_minute(case: Case, key: str) -> float:
    """Return the minute from which nothing that goes before `key` keeps its hold point from being released."""
    finished = [case.finish(o.earlier) for o in case.side.orders if o.later == key and case.planned(o.earlier)]
    minutes = [float(slot * SLOT_MINUTES) for slot in finished]
    for wait in case.side.waits:
        if wait.before == key and wait.before_end == "start" and case.planned(wait.after):
            anchor = case.end(wait.after, wait.after_end) * SLOT_MINUTES
            minutes.append(gap_bounds(case.side, wait, anchor).opens)
    return max(minutes, default=0.0)


def attendance(side: JobSide, who: Releaser) -> tuple[Span, ...] | None:
    """Return when somebody attends, in order and joined where spans touch; None for at any time."""
    if not who.attends:
        return None
    if who.id not in side.attended:
        side.attended[who.id] = _joined(side, who)
    return side.attended[who.id]


def _joined(side: JobSide, who: Releaser) -> tuple[Span, ...]:
    off = {*side.job.job.days_off, *who.days_off}
    joined: list[Span] = []
    for start, finish in sorted(_spans(side, who.attends, off)):
        if joined and start <= joined[-1][1]:
            joined[-1] = joined[-1][0], max(joined[-1][1], finish)
        else:
            joined.append((start, finish))
    return tuple(joined)


def _spans(side: JobSide, attends: Iterable[Attendance], off: set[date]) -> Iterator[Span]:
    for one in attends:
        for day in attendance_days(one, side.time) - off:
            ends_on = day if one.finish > one.start else day + timedelta(days=1)
            start = side.time.minutes_of(side.time.instant(day, one.start))
            finish = side.time.minutes_of(side.time.instant(ends_on, one.finish))
            yield float(start), float(finish)


def _last_span(windows: tuple[Span, ...] | None, ready: float, start: float, takes: float) -> Span | None:
    """Return the last span of `takes` minutes of attendance between two minutes."""
    for begin, end in reversed(windows if windows is not None else ((ready, start),)):
        last = min(end, start)
        if last - takes + GRACE_MIN >= max(begin, ready):
            return last - takes, last
    return None


def _told_by(windows: tuple[Span, ...] | None, at: float, notice: float, side: JobSide) -> float:
    """Return the last minute from which `notice` minutes, of attendance where windows are given, pass before `at`."""
    if windows is None or notice <= 0:
        return at - notice
    left = notice
    for begin, end in reversed(windows):
        last = min(end, at)
        if last - begin >= left:
            return last - left
        left -= max(0.0, last - begin)
    return float(side.time.minutes_of(side.time.midnight(side.time.first_day - timedelta(weeks=WEEKS_BEFORE))))


def due_words(side: JobSide, due: Due) -> tuple[str, ...]:
    """Return what a hold point waits for, in sentences: by whom, between which times, and the notice of it."""
    if due.at is None:
        return (f"{due.who.name} can't release it in time: see the audit.",)
    takes = f", which takes {length_words(due.takes)}" if due.takes else ""
    last = at_minute(side.time, math.floor(due.at[1]))
    words = [f"To be released by {due.who.name}{takes}: from {ready_words(side, due)} on, at the latest by {last}."]
    if due.notice_by is not None and due.notice:
        words.append(f"Give notice by {notice_words(side, due)} ({notice_length(due)} before).")
    return tuple(words)


def ready_words(side: JobSide, due: Due) -> str:
    """Return from when a hold point can be released."""
    return at_minute(side.time, math.ceil(due.ready - GRACE_MIN / 2))


def notice_words(side: JobSide, due: Due) -> str:
    """Return the last time for notice of a hold point; "" where none is wanted or it can't be released."""
    return "" if due.notice_by is None or not due.notice else at_minute(side.time, math.floor(due.notice_by))


def notice_length(due: Due) -> str:
    """Return how long before its release notice must be given."""
    return f"{length_words(due.notice)}{' of attendance' if due.attended_only else ''}"
