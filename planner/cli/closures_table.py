"""The study of closures for a terminal: two trade-offs, the plan looked into, then a paragraph a closure."""

from __future__ import annotations

from collections.abc import Iterator

from planner.cli.plan_table import CAUTION
from planner.cli.wording import columns, count_words, moment
from planner.closures.results import ClosureWorth, Step, Study, TradeOff
from planner.closures.words import (
    asked_money,
    instead_words,
    least_words,
    money_words,
    one_line,
    record_words,
    refusal_words,
    second_words,
    standing_words,
    window_words,
    work_words,
)
from planner.model import ClosureState, Job

_HEAD = ("closures", "for", "finish", "whole cost", "how sure", "which")


def study_lines(study: Study) -> Iterator[str]:
    """Yield the lines of a study that found a plan."""
    job, step = study.job, study.recommended
    yield f"{one_line(job.job.name)}: closures"
    yield from states_lines(job)
    yield from record_lines(study)
    yield from ("", "Earliest finish by number of closures", *_trade_off(job, study.by_number))
    yield from ("", "Earliest finish by money for closures", *_trade_off(job, study.by_money))
    if step is not None:
        count = count_words(len(step.closures), "closure")
        yield ""
        yield f"Looked into: {count}, finish {moment(job.time, step.plan.finish)}, {_cost(job, step)} in all"
    for worth in study.worths:
        yield from ("", *_worth(job, worth))
    yield from ("", f"Cautions: {CAUTION}")


def no_plan_lines(study: Study) -> Iterator[str]:
    """Yield why there is no plan, and which closures more would do."""
    yield from record_lines(study)
    yield "No plan exists with these closures:" if study.proved_none else "No plan was found with these closures:"
    yield from (f"  {reason}" for reason in study.reasons)
    if study.missing:
        yield f"With these as well there is a plan: {', '.join(study.missing)}"


def record_lines(study: Study) -> Iterator[str]:
    """Yield what stands by the site record, where anything is recorded."""
    if study.record is not None:
        yield record_words(study.record, study.job.time)
        yield from (f"To be decided on site: {one_line(words)}" for words in study.record.to_decide)


def states_lines(job: Job) -> Iterator[str]:
    """Yield one line a state that any closure has."""
    for state in (ClosureState.AGREED, ClosureState.REQUESTED, ClosureState.WANTED, ClosureState.REFUSED):
        ids = [closure.id for closure in job.closures if closure.state is state]
        if ids:
            yield f"{state.value}: {', '.join(ids)}"


def _trade_off(job: Job, trade_off: TradeOff) -> list[str]:
    rows = [
        (
            str(len(step.closures)),
            money_words(asked_money(job, step), job.job.currency),
            moment(job.time, step.plan.finish),
            _cost(job, step),
            standing_words(step, job.time),
            ", ".join(step.closures) or "-",
        )
        for step in trade_off.steps
    ]
    proof = "No other step exists." if trade_off.complete else "Further steps, or earlier ones, are not ruled out."
    return [*columns([_HEAD, *rows], "  "), f"  {proof}"]


def _cost(job: Job, step: Step) -> str:
    return money_words(step.terms.cost, job.job.currency)


def _worth(job: Job, worth: ClosureWorth) -> Iterator[str]:
    closure, refusal = worth.closure, worth.refusal
    yield f"{closure.id}  {one_line(closure.name)}, {closure.state.value}: {window_words(job, closure)}"
    yield f"  work:          {work_words(worth)}"
    yield f"  least length:  {least_words(job, worth.least)}"
    yield f"  if refused:    {refusal_words(job, refusal)}"
    yield f"  second choice: {second_words(refusal)}"
    if refusal is not None and refusal.earliest is not None and refusal.earliest != refusal.second:
        count = count_words(len(refusal.earliest.closures), "closure")
        yield f"  with more:     {instead_words(job, refusal.earliest)}, in {count}"
