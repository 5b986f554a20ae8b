"""The two staircases of a study as the chart shows them: what each step costs, and what stands on the board."""

from __future__ import annotations

from dataclasses import dataclass

from planner.audit.wording import at_slot
from planner.closures.results import Step, Study, TradeOff
from planner.closures.words import asked_money, closures_words, money_words, standing_words
from planner.model import Job, Plan


@dataclass(frozen=True)
class StairStep:
    """One step: its price on the axis, its finish and the slot that no plan at that price can beat.

    label, below: the words beside it. words: all there is to say of it, on one line.
    """

    price: float
    finish: int
    floor: int
    proved: bool
    label: str
    below: str
    words: str
    step: Step


@dataclass(frozen=True)
class Flag:
    """Where the plan on the board stands; `price` and `finish` as of a step."""

    price: float
    finish: int


@dataclass(frozen=True)
class Stairs:
    """One staircase: what it is of, its steps by price, the plan on the board, and whether no step can be missing.

    whole: prices are counts, so the axis has whole numbers only.
    """

    title: str
    axis: str
    steps: tuple[StairStep, ...]
    flag: Flag | None
    complete: bool
    whole: bool


def stairs_of(study: Study | None, job: Job, plan: Plan | None) -> tuple[Stairs, Stairs]:
    """Return the staircases by number of closures and by money; `plan` is the one on the board."""
    used = () if plan is None else plan.closures_used
    cost = sum(one.cost for one in job.closures if one.id in used)
    counted = None if plan is None else Flag(float(len(used)), plan.finish)
    paid = None if plan is None else Flag(cost, plan.finish)
    number, money = (TradeOff(), TradeOff()) if study is None else (study.by_number, study.by_money)
    return (
        Stairs(
            "Finish by number of closures",
            "closures",
            tuple(_step(job, one) for one in number.steps),
            counted,
            number.complete,
            True,
        ),
        Stairs(
            "Finish by money for closures",
            job.job.currency,
            tuple(_step(job, one) for one in money.steps),
            paid,
            money.complete,
            False,
        ),
    )


def step_words(job: Job, step: Step) -> str:
    """Return all figures of a step on one line."""
    closures = closures_words(len(step.closures))
    paid = money_words(asked_money(job, step), job.job.currency)
    whole = money_words(step.terms.cost, job.job.currency)
    finish = at_slot(job.time, step.plan.finish)
    return f"{closures} for {paid}: finish {finish}, {whole} in all; {standing_words(step, job.time)}"


def _step(job: Job, step: Step) -> StairStep:
    finish = step.plan.finish
    whole = f"{step.terms.cost:,.0f} in all"
    return StairStep(
        step.price, finish, step.floor, step.proved, at_slot(job.time, finish), whole, step_words(job, step), step
    )
