"""What the window says of issued programmes; no Qt."""

from __future__ import annotations

from datetime import datetime

from app.board.clock import DAYS, MONTHS
from app.session import Session
from planner.jobfile.issue_standing import issue_of, issued_on_another
from planner.jobfile.issues import IssuedPlan, is_before_forecast, issued_after

_MOST_LETTERS = 80


def standing_issue(session: Session) -> IssuedPlan | None:
    """Return the latest issue that the plan shown is, before the site record was read into it, or None."""
    return issue_of(session.issued, session.planned or session.plan)


def elsewhere_issued(session: Session) -> IssuedPlan | None:
    """Return the issue that the plan shown is, where it was issued on another forecast than is under it; or None."""
    return issued_on_another(session.issued, session.planned or session.plan, session.loaded.series)


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
    apart = "" if elsewhere_issued(session) is None else ", issued on another forecast than it is judged on here"
    return f"{issue_name(standing, session)}{edited}{apart}"


def judged_words(one: IssuedPlan, session: Session) -> str:
    """Return on which forecast an issue was handed out, and on which it is judged here."""
    here = "the job's forecast" if session.weather_file is None else "another forecast"
    issued, judged = _forecast(one.series.source), _forecast(session.loaded.weather.source)
    return f"{issue_name(one, session)} was issued on {issued}. It is judged here on {here}, {judged}."


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


def _forecast(source: str) -> str:
    """Return a forecast's source in quotes, cut where it is long."""
    short = source if len(source) <= _MOST_LETTERS else f"{source[: _MOST_LETTERS - 1]}…"
    return f"“{short}”" if source else "a forecast without a source"
