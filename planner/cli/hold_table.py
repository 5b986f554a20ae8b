"""The hold points that somebody named must release: when notice of each is due, the first to be given first."""

from __future__ import annotations

import math

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.releases import Due, dues, notice_length, notice_words, ready_words
from planner.audit.wording import at_minute
from planner.cli.wording import columns
from planner.model import Job, Plan
from planner.weather.job_weather import JobWeather

_HEAD = ("notice by", "released from", "to", "who", "before")


def hold_lines(job: Job, weather: JobWeather, plan: Plan) -> list[str]:
    """Return the table, with a line over it and an empty one under it; nothing where nobody is named."""
    case = Case(Auditor(job, weather).side_of(plan), plan)
    found = sorted(dues(case), key=lambda due: due.start if due.notice_by is None else due.notice_by)
    if not found:
        return []
    rows = [_HEAD, *(_row(case, due) for due in found)]
    return ["Hold points, none of them released by this plan:", *columns(rows, indent="  "), ""]


def _row(case: Case, due: Due) -> tuple[str, ...]:
    if due.at is None:
        return "", "", "can't be released in time", due.who.name, case.called(due.operation)
    by = notice_words(case.side, due)
    notice = f"{by} ({notice_length(due)})" if by else "no notice"
    last = at_minute(case.side.time, math.floor(due.at[1]))
    return notice, ready_words(case.side, due), last, due.who.name, case.called(due.operation)
