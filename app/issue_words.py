"""What the window says of issued programmes; no Qt."""

from __future__ import annotations

from app.board.clock import DAYS, MONTHS
from app.session import Session
from planner.jobfile.issues import IssuedPlan
from planner.model import Plan


def same_plan(one: Plan, other: Plan) -> bool:
    """Say whether two plans have the same work at the same times, by the same gangs, done the same way."""
    return set(one.placements) == set(other.placements)


def standing_issue(session: Session) -> IssuedPlan | None:
    """Return the latest issue that the plan shown is, before the site record was read into it, or None."""
    plan = session.planned or session.plan
    if plan is None:
        return None
    alike = (one for one in reversed(session.issued) if one.plan is not None and same_plan(one.plan, plan))
    return next(alike, None)


def issue_name(one: IssuedPlan, session: Session) -> str:
    """Return "Issue 2 of Sun 21 Mar"."""
    when = one.issue.issued.astimezone(session.facts.time.zone)
    return f"Issue {one.issue.number} of {DAYS[when.weekday()]} {when.day} {MONTHS[when.month - 1]}"


def issue_words(session: Session) -> str:
    """Return which issue the plan shown is, or that it was changed since the last one; "" where none was issued."""
    if session.plan is None or not session.issued:
        return ""
    standing = standing_issue(session)
    if standing is None:
        return f"changed since issue {session.issued[-1].issue.number}"
    edited = "" if standing.is_as_issued else " (edited in the file since)"
    return f"{issue_name(standing, session)}{edited}"
