"""What a study of closures comes to, as plain frozen data; nothing here plans, so the desktop may hold it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.audit.terms import PlanTerms
from planner.closures.work_inside import WorkInside
from planner.intervals import Interval
from planner.model import Closure, Job, Plan

SLOTS_PER_DAY = 96
_CENT = 0.005
"""Money that differs by less is the same to the hundredth."""


@dataclass(frozen=True)
class Step:
    """One step: the earliest finish found at its price, with a whole audited plan.

    closures: ids of those used, by start. price: number of closures, or money for them. floor: slot before which no
    plan at this price finishes. proved: whether the plan's finish is that.
    """

    price: float
    closures: tuple[str, ...]
    plan: Plan
    terms: PlanTerms
    floor: int
    proved: bool


def settled_money(terms: PlanTerms) -> float:
    """Return what finish and closures settle of a plan's cost: preliminaries and closures.

    Crews, overtime and ways of working are as luck has it where the earliest finish is sought: of plans that end
    alike, with closures alike, by some thousands. Plans are compared by this.
    """
    return terms.prelims + terms.closure_cost


@dataclass(frozen=True)
class TradeOff:
    """Steps from the lowest price up, each earlier than the one before.

    complete: whether it is proved that there is no plan below the first step and no earlier one after the last, and
    that every step is the best at its price.
    """

    steps: tuple[Step, ...] = ()
    complete: bool = False

    def showing(self, step: Step) -> TradeOff:
        """Return the same with the closures and the plan of `step` in the place of those of equal figures.

        Several sets of closures may come to the same finish for the same money; then the one looked into is shown.
        """
        return replace(self, steps=tuple(_shown(one, step) for one in self.steps))


def _shown(one: Step, step: Step) -> Step:
    """Return `one` with the plan of `step`, if that is as early for as much money in no more closures."""
    equal = one.plan.finish == step.plan.finish and abs(one.terms.closure_cost - step.terms.closure_cost) < _CENT
    if not equal or len(step.closures) > len(one.closures):
        return one
    return replace(one, closures=step.closures, plan=step.plan, terms=step.terms)


@dataclass(frozen=True)
class LeastLength:
    """The shortest that was found to do, cones on to cones off, for a plan that finishes as early.

    start_proved, finish_proved: whether a slot less at that end is proved to give no such plan; else none was found.
    sought: whether the search came to its end before the time was up. plan: audited, with the closure so short.
    """

    window: Interval
    start_proved: bool
    finish_proved: bool
    sought: bool
    plan: Plan


@dataclass(frozen=True)
class Instead:
    """A whole audited plan without the closure: those that it uses, and of them the ones that are new.

    slots_lost: how much later it finishes than the plan with the closure. money_lost: what it costs more by
    `settled_money`; below 0 where it saves. proved: whether no plan of its kind finishes earlier.
    """

    plan: Plan
    terms: PlanTerms
    closures: tuple[str, ...]
    added: tuple[str, ...]
    slots_lost: int
    money_lost: float
    proved: bool


@dataclass(frozen=True)
class Refusal:
    """What comes of refusing one closure.

    second: with no more closures than before the one of least `settled_money` that is no later, else the earliest,
    with the fewest more that will do; None where there is none, and proved_none says whether that is proved.
    earliest: with as many others as help; the same as `second` where that is as early as with the closure.
    reasons: why there is no plan.
    """

    earliest: Instead | None
    second: Instead | None
    proved_none: bool
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True)
class ClosureWorth:
    """One closure of the plan looked into, and what it is worth; None where that was not looked into."""

    closure: Closure
    work: tuple[WorkInside, ...]
    least: LeastLength | None = None
    refusal: Refusal | None = None


@dataclass(frozen=True)
class FromRecord:
    """What a study takes from the site record: how many operations are done and under way by slot `now`.

    closures: ids of those that are not in question any more: their time is over, or work that has begun lies in them.
    to_decide: a sentence or two on each gap that it can't meet any more, past which the rest is planned.
    """

    done: int
    under_way: int
    now: int
    closures: tuple[str, ...]
    to_decide: tuple[str, ...] = ()


@dataclass(frozen=True)
class Study:
    """All answers for one job, or those that there are so far; `job` has the states with which it was planned.

    recommended: the plan looked into; None where there is no plan, or none yet. Where there is none, `reasons` say
    why, and `missing` which closures more would do. proved_none: whether it is proved that there is no plan.
    record: what stands by the site record; None where nothing is recorded.
    """

    job: Job
    by_number: TradeOff = TradeOff()
    by_money: TradeOff = TradeOff()
    recommended: Step | None = None
    worths: tuple[ClosureWorth, ...] = ()
    reasons: tuple[str, ...] = ()
    proved_none: bool = False
    missing: tuple[str, ...] = ()
    record: FromRecord | None = None

    def worth(self, id: str) -> ClosureWorth | None:
        """Return what a closure of the plan looked into is worth; None for one that it does not use."""
        return next((one for one in self.worths if one.closure.id == id), None)
