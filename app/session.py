"""The open job: one frozen snapshot of what was loaded, the plan, its gaps and findings, and the board's facts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from app.board.facts import Facts
from app.board.gather import gather
from app.board.ribbons import Limits
from planner.audit.check import Auditor
from planner.audit.explain import Explanation, why_here
from planner.audit.gaps import GapRow, gap_rows
from planner.findings import Finding
from planner.jobfile.load import LoadedJob, load_job
from planner.jobfile.planfile import plan_from_dict
from planner.model import Aim, Plan
from planner.network.work import Operation, Work, write_out


@dataclass(frozen=True, eq=False)
class Session:
    """Everything the window shows; made off the paint path and never changed.

    weather_file: the forecast that stands in for the job's own, where one does.
    """

    loaded: LoadedJob
    work: Work
    auditor: Auditor
    facts: Facts
    plan: Plan | None = None
    gaps: tuple[GapRow, ...] = ()
    findings: tuple[Finding, ...] = ()
    weather_file: Path | None = None

    def operation(self, key: str) -> Operation | None:
        """Return an operation of the job, or None."""
        return next((operation for operation in self.work.operations if operation.key == key), None)

    def limits(self, key: str | None) -> Limits:
        """Return the conditions of an operation that the ribbons draw."""
        operation = self.operation(key) if key else None
        if operation is None:
            return Limits()
        conditions = operation.conditions
        return Limits(conditions.surface_c, conditions.air_c, conditions.dew_margin_c, operation.element)

    def explain(self, key: str) -> Explanation | None:
        """Return why an operation stands where it does; None where it is not planned. Takes a while."""
        if self.plan is None or not self.plan.visits_of(key):
            return None
        return why_here(self.loaded.job, self.loaded.weather, self.plan, key, self.auditor)


def open_session(path: Path | str, weather: Path | None = None, text: str | None = None) -> Session:
    """Read a job and its forecast; JobFileError with all faults. weather, text: as for `load_job`."""
    loaded = load_job(path, weather, text)
    auditor = Auditor(loaded.job, loaded.weather)
    facts = gather(loaded.job, loaded.weather, None)
    return Session(loaded, write_out(loaded.job), auditor, facts, findings=loaded.notes, weather_file=weather)


def with_plan(session: Session, content: dict[str, object]) -> Session:
    """Return the session with the plan of a PLAN.json's content, audited; PlanFileError with all faults."""
    return with_placed(session, plan_from_dict(content, session.loaded.job))


def with_placed(session: Session, plan: Plan) -> Session:
    """Return the session with `plan`, its gaps and what the audit finds."""
    job, weather = session.loaded.job, session.loaded.weather
    gaps = gap_rows(job, weather, plan)
    findings = (*session.auditor.audit(plan), *session.loaded.notes)
    return replace(session, plan=plan, gaps=gaps, findings=findings, facts=gather(job, weather, plan, gaps))


def value_words(plan: Plan, currency: str) -> tuple[str, str]:
    """Return the plan's value and bound in words."""
    match plan.aim:
        case Aim.FINISH:
            return f"{plan.value:.1f} days", f"{plan.bound:.1f} days"
        case Aim.CLOSURES:
            return f"{plan.value:g} closures", f"{plan.bound:g}"
        case Aim.CHANGE:
            return f"{plan.value:g} operations changed", f"{plan.bound:g}"
        case Aim.COST:
            return f"{plan.value:,.0f} {currency}", f"{plan.bound:,.0f} {currency}"
