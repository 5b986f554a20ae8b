"""The local days on which a shift starts, by its RFC 5545 rule."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta

from dateutil.rrule import rrulestr

from planner.model import Attendance, Shift
from planner.units import SiteTime

WEEKS_BEFORE = 12
"""Attendance without an anchor begins so long before the job's first day."""


def shift_days(shift: Shift, site_time: SiteTime) -> frozenset[date]:
    """Return the days, from the eve of the job's first day to its end, on which `shift` starts.

    DTSTART, before which there is no shift, is the shift's anchor at its own start time; without an anchor it is the
    job's first day.
    Bounds by UNTIL are read here: a day counts to its end, a time ending in Z is UTC.
    """
    day = site_time.first_day
    return _days(shift.rule, shift.start, shift.anchor or day, day - timedelta(days=1), site_time)


def attendance_days(attendance: Attendance, site_time: SiteTime) -> frozenset[date]:
    """Return the days to the job's end on which an attendance starts, from its anchor or twelve weeks before."""
    first = attendance.anchor or site_time.first_day - timedelta(weeks=WEEKS_BEFORE)
    return _days(attendance.rule, attendance.start, first, first, site_time)


def _days(text: str, clock: time, anchor: date, from_day: date, site_time: SiteTime) -> frozenset[date]:
    parts = dict(part.split("=", 1) for part in text.upper().removeprefix("RRULE:").rstrip(";").split(";"))
    until = parts.pop("UNTIL", None)
    begin = datetime.combine(anchor, clock)
    first = datetime.combine(from_day, time.min)
    last = datetime.combine(site_time.first_day + timedelta(days=site_time.days), time.max)
    rule = rrulestr(";".join(f"{name}={value}" for name, value in parts.items()), dtstart=begin)
    limit = last if until is None else min(last, _until(until, site_time))
    return frozenset(moment.date() for moment in rule.between(first, limit, inc=True))


def _until(text: str, site_time: SiteTime) -> datetime:
    if re.fullmatch(r"\d{8}", text):
        return datetime.combine(date.fromisoformat(text), time.max)
    moment = datetime.fromisoformat(text.removesuffix("Z"))
    if not text.endswith("Z"):
        return moment
    return moment.replace(tzinfo=UTC).astimezone(site_time.zone).replace(tzinfo=None)
