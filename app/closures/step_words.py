"""What the panel says of a step of the trade-off, and the strip of the study as a whole."""

from __future__ import annotations

from app.closures.rows import default_offer
from app.details_words import Section
from app.session import Session
from planner.audit.wording import at_slot, day_words
from planner.closures.results import Step, Study
from planner.closures.words import (
    closures_words,
    long_words,
    money_words,
    one_line,
    record_words,
    standing_words,
    window_words,
)
from planner.model import ClosureState, Job

NO_CLOSURES = (
    Section(
        "This job has no closures",
        (
            "A closure is a window in which named lanes are shut to traffic. Work that needs a lane shut goes inside "
            "one, between the cones.",
            "Closures are set up in the Job set-up view or in the job's file. Then this view says which of them the "
            "job needs, what each buys, and what is lost if one is refused.",
        ),
    ),
)
NOTHING_SELECTED = (
    Section(
        "What this view answers",
        (
            "Which closures does the job need, what does each one buy, and what if one is refused or cut short?",
            "Study closures looks for the earliest finish with each number of closures, and for each sum of money. "
            "Select a step of the stairs or a closure in the table to read about it.",
            "“They will only give us …”: tick what is on offer and study again; no state is changed. Or change the "
            "states (W, Q, A, R) and plan again.",
        ),
    ),
)


def step_sections(session: Session, step: Step, looked_into: bool) -> tuple[Section, ...]:
    """Return all there is to say of a step."""
    job, terms, money = session.loaded.job, step.terms, session.loaded.job.job.currency
    known = {one.id: one for one in job.closures}
    lines = [
        f"{one_line(known[id].name)}, {known[id].state.value}: {window_words(job, known[id])}" if id in known else id
        for id in step.closures
    ]
    return (
        Section(
            "Finish", (at_slot(job.time, step.plan.finish), standing_words(step, job.time), *_against(session, step))
        ),
        Section(closures_words(len(step.closures)).capitalize(), tuple(lines) or ("none",)),
        Section(
            "Money",
            (
                f"{money_words(terms.cost, money)} in all",
                f"closures {terms.closure_cost:,.0f}, crews {terms.crew_cost:,.0f}, "
                f"preliminaries {terms.prelims:,.0f}",
                f"overtime {terms.overtime_cost:,.0f}, alternatives {terms.alternative_cost:,.0f}, "
                f"remedies {terms.remedy_cost:,.0f}",
            ),
        ),
        Section(
            "What next",
            (
                "Take this plan (Enter) puts it on the board as a step of undo.",
                "Least lengths and refusals in the table are of this step."
                if looked_into
                else "Look into it works out least lengths and refusals for this step.",
            ),
        ),
    )


def _against(session: Session, step: Step) -> tuple[str, ...]:
    """Return how a step's finish compares with the plan on the board."""
    if session.plan is None:
        return ()
    slots = step.plan.finish - session.plan.finish
    if not slots:
        return ("As early as the plan on the board",)
    return (f"{long_words(slots)} {'later' if slots > 0 else 'earlier'} than the plan on the board",)


def status_words(study: Study | None, ended: str, stale: bool) -> str:
    """Return how the study stands, on one line."""
    if study is None:
        return ended or "Not studied yet."
    if study.recommended is None and study.reasons:
        head = "No plan exists" if study.proved_none else "No plan was found"
        missing = f" With {', '.join(study.missing)} as well there is one." if study.missing else ""
        words = f"{head} with the closures that were on offer.{missing}"
    elif study.recommended is None:
        words = ended or "Nothing was found yet."
    else:
        step, job = study.recommended, study.job
        closures, cost = closures_words(len(step.closures)), money_words(step.terms.cost, job.job.currency)
        words = f"Looked into: {closures}, finish {at_slot(job.time, step.plan.finish)}, {cost} in all."
        words = f"{words} {ended[:1].upper()}{ended[1:]}." if ended else words
    if study.record is not None:
        words = f"{words} {record_words(study.record, study.job.time)}"
    return f"From before the last change; study again. {words}" if stale else words


def offer_words(job: Job, offered: frozenset[str]) -> str:
    """Return what is on offer, on one line."""
    if not job.closures:
        return ""
    refused = sum(one.state is ClosureState.REFUSED for one in job.closures)
    if offered == default_offer(job):
        asked = f"{len(job.closures) - refused} of {closures_words(len(job.closures))} on offer"
        return f"{asked}: all that are not refused. Untick what they will not give, and study again."
    given = sorted((one for one in job.closures if one.id in offered), key=lambda one: one.start)
    names = ", ".join(f"{one_line(one.name)} ({day_words(one.start.date())})" for one in given) or "none"
    return f"They will only give us {len(offered)} of {closures_words(len(job.closures))}: {names}"
