"""The request list for paper: every word that stands on it, as frozen rows; what draws it adds none.

What is asked for, which is handed over, and what it is worth to us, which is not, are kept apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from planner.audit.wording import at_slot, clock_words, day_words, list_words
from planner.calendars.closures import closure_window
from planner.closures.results import ClosureWorth, Step, Study
from planner.closures.words import (
    asked_money,
    closures_words,
    lanes_words,
    least_words,
    long_words,
    money_words,
    one_line,
    record_words,
    refusal_words,
    second_words,
    standing_words,
    window_words,
)
from planner.model import Closure, ClosureState, Job
from planner.sheets.cautions import AID_ONLY, GOVERNED, READINGS_OVERRULE

CAUTIONS = (
    AID_ONLY,
    READINGS_OVERRULE,
    GOVERNED,
    "A closure is not granted by this list: what the road authority has agreed in writing counts. Traffic management "
    "alone sets and lifts the cones.",
)
_NO_WORK_TIME = "none"


@dataclass(frozen=True)
class StepRow:
    """A step of the trade-off."""

    closures: str
    money: str
    finish: str
    cost: str
    sure: str
    which: str


@dataclass(frozen=True)
class RequestItem:
    """One closure that is asked for, or agreed already. work: a line an element."""

    title: str
    state: str
    lanes: str
    cones_on: str
    work_from: str
    work_until: str
    cones_off: str
    length: str
    cost: str
    reason: str
    work: tuple[str, ...]
    least: str
    refused: str
    second: str
    note: str

    @property
    def is_agreed(self) -> bool:
        """Whether nobody has to be asked for it any more."""
        return self.state == ClosureState.AGREED.value


@dataclass(frozen=True)
class RequestList:
    """All that is printed; `made` says when. summary: what is asked for. worth: what it buys, for our own eyes."""

    job: str
    site: str
    made: str
    summary: str
    worth: str
    items: tuple[RequestItem, ...]
    by_number: tuple[StepRow, ...]
    by_money: tuple[StepRow, ...]
    cautions: tuple[str, ...] = CAUTIONS


def request_list(study: Study, made: datetime) -> RequestList:
    """Return the request list of the plan looked into; `made` is aware. ValueError where there is none."""
    job, step = study.job, study.recommended
    if step is None:
        raise ValueError("there is no plan whose closures could be asked for")
    local = made.astimezone(job.time.zone)
    return RequestList(
        one_line(job.job.name),
        one_line(job.site.name),
        f"made {day_words(local.date())} {local.year} {clock_words(local)}",
        f"{_asked_words(study)} All times are site time.",
        " ".join((_worth(job, step), *((record_words(study.record, job.time),) if study.record else ()))),
        request_items(study),
        tuple(_step(job, one) for one in study.by_number.steps),
        tuple(_step(job, one) for one in study.by_money.steps),
    )


def request_items(study: Study) -> tuple[RequestItem, ...]:
    """Return the closures of the plan looked into, numbered from 1; none where there is no such plan."""
    return tuple(_item(study.job, number, worth) for number, worth in enumerate(study.worths, start=1))


def _asked_words(study: Study) -> str:
    """Return how many closures are asked for, and how many of those used are agreed already."""
    agreed = sum(one.closure.state is ClosureState.AGREED for one in study.worths)
    asked = f"{closures_words(len(study.worths) - agreed)} asked for"
    return f"{asked}; {closures_words(agreed)} agreed already." if agreed else f"{asked}."


def _worth(job: Job, step: Step) -> str:
    closures = closures_words(len(step.closures))
    money = money_words(asked_money(job, step), job.job.currency)
    finish = at_slot(job.time, step.plan.finish)
    sure = f" ({standing_words(step, job.time)})" if step.floor or step.proved else ""
    cost = money_words(step.terms.cost, job.job.currency)
    return f"{closures}, {money} for them: the work is finished on {finish}{sure}, at {cost} in all."


def _step(job: Job, step: Step) -> StepRow:
    currency = job.job.currency
    return StepRow(
        str(len(step.closures)),
        money_words(asked_money(job, step), currency),
        at_slot(job.time, step.plan.finish),
        money_words(step.terms.cost, currency),
        standing_words(step, job.time),
        ", ".join(step.closures) or "none",
    )


def _item(job: Job, number: int, worth: ClosureWorth) -> RequestItem:
    closure = worth.closure
    window = closure_window(closure, job.time)
    on, off = window_words(job, closure).split(" to ")
    work = window.work
    return RequestItem(
        f"{number}. {one_line(closure.name)} ({closure.id})",
        closure.state.value,
        lanes_words(job, closure),
        on,
        at_slot(job.time, work.start) if work else _NO_WORK_TIME,
        at_slot(job.time, work.finish) if work else _NO_WORK_TIME,
        off,
        long_words(window.whole.length),
        money_words(closure.cost, job.job.currency),
        _reason(worth),
        _work(worth),
        least_words(job, worth.least),
        refusal_words(job, worth.refusal),
        second_words(worth.refusal),
        _note(closure),
    )


def _reason(worth: ClosureWorth) -> str:
    elements = list(dict.fromkeys(one_line(one.element) for one in worth.work))
    if not elements:
        return "no work of this plan stands in it"
    count = len(worth.work)
    return f"{count} operation{'s' if count > 1 else ''} on {list_words(elements)}"


def _work(worth: ClosureWorth) -> tuple[str, ...]:
    by_element: dict[str, list[str]] = {}
    for one in worth.work:
        by_element.setdefault(one_line(one.element), []).append(one_line(one.name))
    return tuple(f"{element}: {', '.join(names)}" for element, names in by_element.items())


def _note(closure: Closure) -> str:
    cones = f"{closure.set_out_min} min to set out the cones, {closure.clear_min} min to clear them"
    return f"{cones}. {one_line(closure.note)}" if closure.note else f"{cones}."
