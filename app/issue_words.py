"""What the window says of issued programmes; no Qt."""

from __future__ import annotations

from datetime import datetime

from app.board.clock import DAYS, MONTHS
from app.session import Session
from planner.jobfile.issues import IssuedPlan, is_before_forecast, issued_after
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


def too_early_words(session: Session, when: datetime) -> str:
    """Return why no programme may be issued at `when` (aware): the last one is dated later; "" where it may."""
    later = issued_after(session.loaded.job, when)
    if later is None:
        return ""
    said = f"this machine's clock says {_moment(session, when)}"
    stood = f"issue {later.number} is of {_moment(session, later.issued)}"
    return f"Not issued: {said}, but {stood}. Set the clock of the machine first."


def forecast_doubt(session: Session, when: datetime) -> str:
    """Return that the forecast under the plan was made later than `when` (aware); "" where it was not."""
    made = session.loaded.weather.issued
    if made is None or not is_before_forecast(when, made):
        return ""
    words = f"The forecast under the plan was made at {_moment(session, made)}"
    return f"{words}, later than this machine's clock says it is ({_moment(session, when)})."


def _moment(session: Session, when: datetime) -> str:
    local = when.astimezone(session.facts.time.zone)
    return f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} {local.year} {local:%H:%M}"
