"""The closures of a job as rows of the table: their own times, their state, and what plan and study say of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.board.clock import moment
from app.details_words import Section
from app.session import Session
from planner.calendars.closures import closure_window
from planner.closures.results import LeastLength, Study
from planner.closures.words import (
    closures_words,
    instead_words,
    least_words,
    long_words,
    money_words,
    one_line,
    refusal_words,
    second_words,
    window_words,
)
from planner.closures.work_inside import WorkInside, work_by_closure
from planner.model import Closure, ClosureState, Job

NO_TIME = "none: outside the job's days, or all cones"


@dataclass(frozen=True)
class ClosureRow:
    """One closure in words; `place` is its place in the job's file, `offered` whether a study may use it.

    work_from, work_until: "" where no time is left for work. inside: what the plan on the board does in it.
    least, refused: short words of the study; "" where there is nothing to say.
    """

    id: str
    place: int
    name: str
    lanes: str
    on: str
    off: str
    work_from: str
    work_until: str
    hours: str
    state: ClosureState
    cost: str
    inside: tuple[WorkInside, ...]
    least: str
    refused: str
    offered: bool

    @property
    def used(self) -> str:
        """How much of the plan on the board is done in it."""
        count = len(self.inside)
        return "" if not count else "1 operation" if count == 1 else f"{count} operations"


def closure_rows(session: Session, study: Study | None, offered: frozenset[str]) -> tuple[ClosureRow, ...]:
    """Return a row a closure, by start; `offered` are the ids of those that a study may use."""
    job = session.loaded.job
    inside = work_by_closure(job, session.plan) if session.plan is not None else {}
    starts = {one.id: one.start for one in job.closures}
    names = {lane.id: one_line(lane.name) for lane in job.lanes}
    rows = [
        _row(session, study, place, one, one.id in offered, inside.get(one.id, ()), names)
        for place, one in enumerate(job.closures)
    ]
    return tuple(sorted(rows, key=lambda row: (starts[row.id], row.place)))


def default_offer(job: Job) -> frozenset[str]:
    """Return the closures that are on offer as the job's file has it: all that are not refused."""
    return frozenset(one.id for one in job.closures if one.state is not ClosureState.REFUSED)


def _row(
    session: Session,
    study: Study | None,
    place: int,
    closure: Closure,
    offered: bool,
    inside: tuple[WorkInside, ...],
    lanes: Mapping[str, str],
) -> ClosureRow:
    job, time = session.loaded.job, session.facts.time
    window = closure_window(closure, job.time)
    on, off = window_words(job, closure).split(" to ")
    worth = study.worth(closure.id) if study is not None else None
    least = worth.least if worth is not None else None
    refusal = worth.refusal if worth is not None else None
    return ClosureRow(
        closure.id,
        place,
        one_line(closure.name),
        ", ".join(lanes.get(id, id) for id in closure.lanes),
        on,
        off,
        moment(time, window.work.start) if window.work else "",
        moment(time, window.work.finish) if window.work else "",
        long_words(window.work.length) if window.work else NO_TIME,
        closure.state,
        f"{closure.cost:,.0f}",
        inside,
        _least(least) if least is not None else "",
        refusal_words(job, refusal) if refusal is not None else "",
        offered,
    )


def _least(least: LeastLength) -> str:
    """Return the least length; where less was not ruled out it may be less still."""
    words = long_words(least.window.length)
    return words if least.start_proved and least.finish_proved else f"at most {words}"


def closure_sections(session: Session, study: Study | None, row: ClosureRow) -> tuple[Section, ...]:
    """Return all there is to say of a closure."""
    job = session.loaded.job
    closure = job.closure(row.id)
    when = (f"Cones on {row.on}", *((f"Work from {row.work_from} until {row.work_until}",) if row.work_from else ()))
    last = (f"Cones off {row.off}", f"Time for work: {row.hours}", f"Lanes: {row.lanes}")
    price = money_words(closure.cost, job.job.currency)
    return (
        Section("When", (*when, *last, f"Called {row.id} in the job's file and in reasons")),
        Section("State", (f"{closure.state.value}, {price}", *((one_line(closure.note),) if closure.note else ()))),
        Section("On the board", _inside(session, row)),
        *_study_sections(session, study, row),
    )


def _inside(session: Session, row: ClosureRow) -> tuple[str, ...]:
    if session.plan is None:
        return ("There is no plan yet.",)
    if not row.inside:
        return ("The plan on the board does not use it.",)
    return (f"{row.used}, listed below",)


def _study_sections(session: Session, study: Study | None, row: ClosureRow) -> tuple[Section, ...]:
    if study is None:
        return (Section("What it is worth", ("Study the closures to see what is lost if it is refused.",)),)
    job, step = study.job, study.recommended
    if step is None:
        return no_plan_sections(study)
    if study.record is not None and row.id in study.record.closures:
        return (Section("In the plan looked into", ("Past, or in use, by the site record: not in question.",)),)
    worth = study.worth(row.id)
    finish = moment(session.facts.time, step.plan.finish)
    if worth is None:
        return (Section("In the plan looked into", (f"Not used; that plan finishes {finish} without it.",)),)
    names = {one.id: one_line(one.name) for one in job.closures}
    again = [f"{id}: {names[id]}" for id in _added(study, row.id)]
    return (
        Section("In the plan looked into", (f"Used; that plan finishes {finish}.",)),
        Section("Least length that still works", (least_words(job, worth.least),)),
        Section("If it is refused", (refusal_words(job, worth.refusal), *_more(study, row.id))),
        Section("Second choice", (second_words(worth.refusal), *again)),
    )


def no_plan_sections(study: Study | None) -> tuple[Section, ...]:
    """Return why there is no plan with the closures on offer, and which would make one; nothing where there is."""
    if study is None or study.recommended is not None or not study.reasons:
        return ()
    head = "Why no plan exists" if study.proved_none else "Why no plan was found"
    names = {one.id: one for one in study.job.closures}
    more = tuple(f"{id}: {one_line(names[id].name)}" if id in names else id for id in study.missing)
    return (Section(head, study.reasons), *((Section("With these as well there is one", more),) if more else ()))


def _added(study: Study, id: str) -> tuple[str, ...]:
    worth = study.worth(id)
    refusal = worth.refusal if worth is not None else None
    return refusal.second.added if refusal is not None and refusal.second is not None else ()


def _more(study: Study, id: str) -> tuple[str, ...]:
    """Return what more closures would do about a refusal, or why there is no plan."""
    worth = study.worth(id)
    refusal = worth.refusal if worth is not None else None
    if refusal is None:
        return ()
    if refusal.earliest is None:
        return refusal.reasons
    if refusal.earliest == refusal.second:
        return ()
    most = closures_words(len(refusal.earliest.closures))
    return (f"With {most}: {instead_words(study.job, refusal.earliest)}",)
