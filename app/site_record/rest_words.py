"""What came of planning the rest again, in a line."""

from __future__ import annotations

from app.session import Session
from planner.audit.compare import compare
from planner.cli.wording import count_words
from planner.site_record.progress import Progress, record_now

REST = "Planning the rest"


def rest_words(before: Session, after: Session) -> str:
    """Return how many operations moved, and how many stay because they are done or under way."""
    if before.plan is None or after.plan is None:
        return REST
    change = compare(before.plan, after.plan)
    moved = len(change.moved) + len(change.appeared) + len(change.vanished)
    job = after.loaded.job
    begun = len(Progress(job, before.plan, record_now(job)).begun) if job.record else 0
    return f"The rest is planned again: {count_words(moved, 'operation')} moved; {begun} done or under way stay"
