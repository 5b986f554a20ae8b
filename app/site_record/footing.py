"""What the site record should be told about the day and the plan before anything is recorded; no Qt."""

from __future__ import annotations

from datetime import date, timedelta

from app.issue_words import standing_issue
from app.session import Session
from planner.audit.wording import day_words

NOT_ISSUED = (
    "Not issued: opened again, this job would be planned anew around what is recorded. Issue the plan before you "
    "record, and the job opens on it."
)


def outside_words(session: Session, slot: float | None) -> str:
    """Return that today is no day of the job, and what can be done all the same; `slot` is the time that is now."""
    if slot is None:
        return ""
    time = session.facts.time
    today, last = time.local(slot).date(), time.first_day + timedelta(days=time.days - 1)
    return (
        f"Today, {_day(today)}, is outside this job's days, {_day(time.first_day)} to {_day(last)}: the now buttons "
        "are off. Times can be typed at the right; Earlier and Later go through the days with work."
    )


def unissued_words(session: Session) -> str:
    """Return that the plan shown is in no issue; "" where it is, or where there is no plan."""
    return "" if session.plan is None or standing_issue(session) is not None else NOT_ISSUED


def reopened_words(session: Session) -> str:
    """Return what a job with a record, but without an issued programme, is planned from; "" for any other job."""
    count = len(session.loaded.job.record)
    if not count or session.plan is not None:
        return ""
    entries = "1 entry is" if count == 1 else f"{count} entries are"
    return (
        f"{entries} in the site record, but no programme was issued: the plan that they were made on is not in "
        "the file. The rest is planned anew around what is recorded. Issue it (Ctrl+I): then the job opens on it."
    )


def _day(day: date) -> str:
    return f"{day_words(day)} {day.year}"
