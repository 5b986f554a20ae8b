"""The open job: one frozen snapshot of what was loaded, the plan, its gaps and findings, and the board's facts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from app.board.facts import Facts, WorkState
from app.board.gather import gather_plan, rows_but
from app.board.ribbons import Limits
from app.board.still import Still, stand_still
from planner.advice.advice import advice
from planner.audit.check import Auditor
from planner.audit.duties import duties
from planner.audit.explain import Explanation, why_here
from planner.audit.gaps import GapRow, gap_rows
from planner.findings import Finding
from planner.jobfile.issues import IssuedPlan, issued_plans
from planner.jobfile.load import LoadedJob, load_job, with_job_text
from planner.jobfile.planfile import plan_from_dict
from planner.model import Job, Plan
from planner.network.options import NOTHING_CHOSEN
from planner.network.work import Operation, Work
from planner.site_record.as_stands import progress_of
from planner.site_record.progress import State, record_now
from planner.site_record.rest import findings_on, standing_plan
from planner.solve.beside import findings_from_plain, gaps_from_plain
from planner.solve.messages import Better


@dataclass(frozen=True, eq=False)
class Session:
    """Everything the window shows; made off the paint path and never changed.

    findings: of the audit, then the advice on the plan, then the notes of the job. weather_file: the forecast that
    stands in for the job's own, where one does; columns: what is what in its sheet, where its headings don't say.
    own_weather: whether the job names that forecast as its own, to be written beside it when the job is saved.
    by_hand: whether the plan was changed by hand since it was made; moved: the operations concerned.
    taken: whether the plan was taken in a view, so that planning again would not bring it back. proved_here: whether
    what the plan says is proved was proved in this window, of this job on this forecast.
    issued: the programmes handed out, by number. plan: as it stands by the site record; planned: the one that it was
    before the record was read into it. now: the minute up to which work that nobody recorded is told as overdue,
    where it is later than the newest entry.
    """

    loaded: LoadedJob
    work: Work
    auditor: Auditor
    still: Still
    facts: Facts
    plan: Plan | None = None
    gaps: tuple[GapRow, ...] = ()
    findings: tuple[Finding, ...] = ()
    weather_file: Path | None = None
    columns: str = ""
    by_hand: bool = False
    moved: frozenset[str] = frozenset()
    issued: tuple[IssuedPlan, ...] = ()
    planned: Plan | None = None
    taken: bool = False
    proved_here: bool = False
    own_weather: bool = False
    now: int = 0

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


def open_session(
    path: Path | str, weather: Path | None = None, text: str | None = None, columns: str = ""
) -> Session:
    """Read a job and its forecast; JobFileError with all faults. weather, text, columns: as for `load_job`."""
    loaded = load_job(path, weather, text, columns)
    return replace(_begin(loaded), weather_file=weather, columns=columns)


def with_text(session: Session, text: str) -> Session:
    """Return the session with the job changed to `text`, its plan audited anew; JobFileError with all faults.

    Takes a while.
    """
    loaded = with_job_text(session.loaded, text, session.weather_file, session.columns)
    made = replace(
        _begin(loaded),
        weather_file=session.weather_file,
        columns=session.columns,
        own_weather=session.own_weather,
        now=session.now,
        by_hand=session.by_hand,
        moved=session.moved,
        taken=session.taken,
        proved_here=session.proved_here and _same_but_for_issues(session.loaded.job, loaded.job),
    )
    plan = session.planned or session.plan
    if plan is None:
        return made
    return with_placed(made, replace(plan, job=made.loaded.job.job.name))


def on_another(made: Session, session: Session) -> Session:
    """Return `made`, the same job on another forecast, with the plan of `session`, audited anew; takes a while."""
    made = replace(made, now=session.now, by_hand=session.by_hand, moved=session.moved, taken=session.taken)
    plan = session.planned or session.plan
    return made if plan is None else with_placed(made, plan)


def _same_but_for_issues(one: Job, other: Job) -> bool:
    """Say whether what is proved of one job holds for the other; handing a programme out changes no rule."""
    return one.model_copy(update={"issues": other.issues}) == other


def _begin(loaded: LoadedJob) -> Session:
    still = stand_still(loaded.job, loaded.weather)
    return Session(
        loaded,
        still.work(NOTHING_CHOSEN),
        Auditor(loaded.job, loaded.weather),
        still,
        gather_plan(still, None),
        findings=loaded.notes,
        issued=issued_plans(loaded.job),
    )


def with_last_issue(session: Session) -> Session:
    """Return the session with the programme issued last, audited on its forecast; without issues as it is."""
    plans = [one.plan for one in session.issued if one.plan is not None and one.plan.placements]
    return with_placed(session, plans[-1]) if plans else session


def with_better(session: Session, message: Better) -> Session:
    """Return the session with the plan of a message; what goes beside the plan was worked out where it was made.

    PlanFileError with all faults of the plan; TypeError, KeyError or ValueError where what goes beside it is damaged.
    """
    plan = plan_from_dict(message.plan, session.loaded.job)
    session = of_another_plan(session, taken=False, proved=True)
    if message.gaps is None or message.findings is None:
        return with_placed(session, plan)
    return with_found(session, plan, gaps_from_plain(message.gaps), findings_from_plain(message.findings))


def of_another_plan(session: Session, *, taken: bool, proved: bool) -> Session:
    """Return the session for a plan made or read elsewhere: none of it is moved by hand yet.

    taken: chosen in a view, so that planning again would not make it. proved: its proof is of this job and forecast.
    """
    return replace(session, by_hand=False, moved=frozenset(), taken=taken, proved_here=proved)


def with_placed(session: Session, plan: Plan) -> Session:
    """Return the session with `plan`, its gaps, what the audit finds and the advice; takes a while."""
    job, weather = session.loaded.job, session.loaded.weather
    stands, exact = standing_plan(job, plan, session.auditor, session.now)
    gaps = gap_rows(job, weather, stands, session.auditor, exact=exact)
    found = findings_on(job, plan, session.auditor, session.now)
    return replace(with_found(session, stands, gaps, (*found, *advice(job, weather, stands))), planned=plan)


def with_found(
    session: Session,
    plan: Plan,
    gaps: tuple[GapRow, ...],
    findings: tuple[Finding, ...],
    touched: frozenset[str] | None = None,
) -> Session:
    """Return the session with `plan` and what was found about it.

    touched: the elements of which anything differs from the session's own plan; left out, all may.
    """
    kept = {} if touched is None else rows_but(session.facts, touched)
    facts = gather_plan(session.still, plan, gaps, work_states(session, plan), kept)
    told = (*findings, *session.loaded.notes)
    return replace(session, plan=plan, gaps=gaps, findings=told, facts=facts, planned=None)


def at_minute(session: Session, now: int) -> Session:
    """Return the session with its plan judged at a later minute: what should have begun by then is told; a while."""
    later, plan = replace(session, now=now), session.planned or session.plan
    return later if plan is None else with_placed(later, plan)


def work_states(session: Session, plan: Plan) -> dict[tuple[str, int], WorkState]:
    """Return which visits of a plan are done or under way by the site record; a hold point only where it says so."""
    job = session.loaded.job
    if not job.record:
        return {}
    progress = progress_of(job, plan, max(record_now(job), session.now), session.auditor)
    holding = {key for key, duty in duties(job).items() if duty.hold_point}
    states = {
        (was.operation, was.visit): progress.state(one.operation, one.visit)
        for operation, visits in progress.planned.items()
        for was, one in zip(plan.visits_of(operation), visits, strict=True)
        if one.operation not in holding or not progress.is_presumed(one)
    }
    shown = {State.DONE: WorkState.DONE, State.UNDER_WAY: WorkState.UNDER_WAY}
    return {key: shown[state] for key, state in states.items() if state in shown}
