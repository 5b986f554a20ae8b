"""The words of the header and the status bar."""

from __future__ import annotations

from app.board.clock import DAYS, MONTHS, moment
from app.finding_words import audit_words, overdue_counts
from app.issue_words import issue_words
from app.plan_for import PlanFor
from app.session import Session
from app.solving import Outcome
from planner.cli.standing import AIMS, aims_words, bound_words, figure_words
from planner.cli.wording import count_words
from planner.findings import Weight
from planner.model import Aim, Plan, PlanStatus
from planner.solve.messages import Progress

_TIPS = {
    "job": "The job's file on disk is still as it was; Ctrl+S saves the changes",
    "plan": "The plan is in no file; Ctrl+Shift+S saves it, Ctrl+I issues it with the job",
    "forecast": "The forecast under the plan is not the job's own; the Weather view saves it as CSV",
}


def unsaved_words(job: bool, plan: bool, forecast: bool, by_hand: bool) -> tuple[str, str]:
    """Return what stands beside the name by what is unsaved, and its tool tip; "" and "" for nothing."""
    lost = [name for name, is_lost in zip(_TIPS, (job, plan, forecast), strict=True) if is_lost]
    tip = ".\n".join(_TIPS[name] for name in lost)
    match lost:
        case []:
            return "", ""
        case ["job"]:
            return "changed, not saved", tip
        case ["plan"] if by_hand:
            return "plan moved, not saved", tip
    head = f"{', '.join(lost[:-1])} and " if len(lost) > 1 else ""
    return f"{head}{lost[-1]} not saved", tip


def plan_words(session: Session, outcome: Outcome | None = None) -> str:
    """Return how the plan stands: which issue it is, finish, closures, crew-days, and what is proved.

    outcome: of the last run, which tells whether there is no plan or only none yet.
    """
    plan = session.plan
    if plan is None:
        return "Not planned yet" if outcome is None else f"{str(outcome)[0].upper()}{str(outcome)[1:]}"
    crew_days = sum(bool(day.worked) for load in session.facts.loads for day in load.days)
    used = len(plan.closures_used)
    issue = issue_words(session)
    parts = [
        *((issue,) if issue else ()),
        f"Finish {moment(session.facts.time, plan.finish)}",
        f"{used} closure{'s' if used != 1 else ''} used",
        count_words(crew_days, "crew-day"),
        *_cost_words(session, plan),
        *(overdue_counts(session.findings) if is_broken(session) else (audit_words(session.findings),)),
        standing_words(session),
    ]
    return "  ·  ".join(parts)


def _cost_words(session: Session, plan: Plan) -> tuple[str, ...]:
    """Return what a plan costs, or comes to where it weighs, if that is what it was made for."""
    if plan.aim is not Aim.COST:
        return ()
    time, money = session.facts.time, session.loaded.job.job.currency
    return (figure_words(plan.value, plan.aim, time, money, bool(plan.worths)),)


def is_broken(session: Session) -> bool:
    """Say whether the plan breaks any rule."""
    return any(one.weight is Weight.BREACH for one in session.findings)


def standing_words(session: Session) -> str:
    """Return "earliest finish proved", or "works; no plan can finish before …", or how many rules are broken.

    A plan that was read from a file, or put on another job or forecast, only works: its proof was of another.
    """
    plan = session.plan
    if plan is None:
        return "not planned yet"
    breaches = sum(one.weight is Weight.BREACH for one in session.findings)
    if session.by_hand and breaches:
        return f"moved by hand: audit finds {breaches} breach{'es' if breaches != 1 else ''}"
    if session.by_hand:
        return "moved by hand; breaks no rule"
    if breaches:
        return f"not workable: {breaches} breach{'es' if breaches != 1 else ''}"
    if not session.proved_here:
        return "works"
    if plan.status is PlanStatus.OPTIMAL:
        weighed = ", weighed," if plan.aim is Aim.COST and plan.worths else ""
        return f"{AIMS[plan.aim]}{weighed} proved{_then_words(plan)}"
    time, money = session.facts.time, session.loaded.job.job.currency
    bound = bound_words(plan.bound, plan.aim, time, money, bool(plan.worths))
    return f"works; {bound}{_then_words(plan)}"


def _then_words(plan: Plan) -> str:
    """Return what was sought after the first aim, of which nothing is proved here; "" where nothing was."""
    if not plan.then:
        return ""
    return f"; then {aims_words(plan.then, plan.worths)}, as found"


def progress_words(progress: Progress, seconds: float, wanted: PlanFor, session: Session) -> str:
    """Return how planning goes on: what is reached at the first aim, and which of several is sought now."""
    head = f"Planning, {progress.seconds:.0f} s of {seconds:g} s"
    if progress.value is None:
        return f"{head}: {progress.stage}, no plan yet"
    time, money, aim = session.facts.time, session.loaded.job.job.currency, wanted.aims[0]
    weighed = bool(wanted.worths)
    best = figure_words(progress.value, aim, time, money, weighed)
    bound = "" if progress.bound is None else f"; {bound_words(progress.bound, aim, time, money, weighed)}"
    further = f"; {progress.stage}" if len(wanted.aims) > 1 else ""
    return f"{head}: {best}{bound}{further}; {count_words(progress.tried, 'order')} tried"


def forecast_words(session: Session) -> str:
    """Return where the forecast comes from, when it was issued, and the credit that its giver asks for."""
    weather = session.loaded.weather
    source = weather.source or "source not stated"
    credit = f"  ·  {weather.attribution}" if weather.attribution else ""
    if weather.issued is None:
        return f"Forecast: {source}, time of issue not stated{credit}"
    issued = weather.issued.astimezone(session.facts.time.zone)
    when = f"{DAYS[issued.weekday()]} {issued.day} {MONTHS[issued.month - 1]} {issued:%H:%M}"
    return f"Forecast: {source}, issued {when}{credit}"
