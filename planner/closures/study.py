"""The whole study of a job's closures: the trade-off, the plan to ask for, and what each of its closures is worth."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from time import monotonic

from planner.closures.hunt import LONG_TRIALS, QUICK_TRIALS, hunt
from planner.closures.lengths import FINISH_FIRST, START_FIRST, LeastLength, least_length, len_of
from planner.closures.planning import ClosureSet, Planner, Say
from planner.closures.refusals import Refusal, refusal
from planner.closures.states import with_only, without
from planner.closures.trade_off import Step, TradeOff, by_money, by_number
from planner.closures.work_inside import WorkInside, work_inside
from planner.model import Closure, ClosureState, Job
from planner.weather.job_weather import JobWeather

DEFAULT_SECONDS = 60.0
FIRST_SETS = 2
"""Sets planned for each number of closures before any number gets more."""
_QUICK_SHARE, _MONEY_SHARE, _LONG_SHARE, _REFUSAL_SHARE = 0.2, 0.3, 0.4, 0.55
"""Parts of the time by which the quick look, the money's steps, the long look and the refusals have to be done."""


@dataclass(frozen=True)
class ClosureWorth:
    """One closure of the recommended plan, and what it is worth."""

    closure: Closure
    work: tuple[WorkInside, ...]
    least: LeastLength
    refusal: Refusal


@dataclass(frozen=True)
class Study:
    """All answers for one job; `job` has the states with which it was planned.

    recommended: None where there is no plan; then `reasons` say why, and `missing` which closures more would do.
    proved_none: whether it is proved that there is no plan.
    """

    job: Job
    by_number: TradeOff
    by_money: TradeOff
    recommended: Step | None
    worths: tuple[ClosureWorth, ...]
    reasons: tuple[str, ...] = ()
    proved_none: bool = False
    missing: tuple[str, ...] = ()


def study(
    job: Job,
    weather: JobWeather,
    *,
    only: Collection[str] | None = None,
    refused: Collection[str] = (),
    take: int | None = None,
    seconds: float = DEFAULT_SECONDS,
    seed: int = 1,
    say: Say = lambda _: None,
) -> Study:
    """Study the closures of `job`.

    only: ids of all that will be given; refused: ids of those that won't. take: the number of closures of the step to
    look into, instead of the one that costs least. seconds: how long to look, about. say: hears of progress.
    KeyError for an id that is none of the job's, ValueError for a step that is not there.
    """
    begun = monotonic()
    for id in (*(only or ()), *refused):
        job.closure(id)
    given = without(job if only is None else with_only(job, only), refused)
    planner = Planner(given, weather, begun + seconds, seed)
    planner.attempt(planner.every, QUICK_TRIALS)
    say("trade-off by number of closures")
    by_number(planner, begun + _QUICK_SHARE * seconds, (QUICK_TRIALS,), FIRST_SETS)
    by_number(planner, begun + _QUICK_SHARE * seconds, (QUICK_TRIALS,), say=say)
    say("trade-off by money for closures")
    by_money(planner, begun + _MONEY_SHARE * seconds, (QUICK_TRIALS,))
    say("the same again for longer, where it is not proved")
    numbered = by_number(planner, begun + _LONG_SHARE * seconds, (LONG_TRIALS,))
    priced = by_money(planner, begun, ())
    if not numbered.steps:
        return _no_plan(job, given, planner, numbered, priced, weather, begun + seconds)
    step = _chosen(numbered.steps, take) if take is not None else _cheapest((*numbered.steps, *priced.steps))
    until = begun + _REFUSAL_SHARE * seconds
    refusals = _refusals(planner, step, until, say)
    while take is None and (better := _bettered(step, refusals)) is not None and not planner.late():
        step = better
        refusals = _refusals(planner, step, until, say)
    worths = _worths(planner, step, refusals, say)
    return Study(given, numbered, priced, step, worths)


def _cheapest(steps: Sequence[Step]) -> Step:
    """Return the step whose plan costs least in all, of equal ones the earlier."""
    return min(steps, key=lambda step: (round(step.terms.cost, 2), step.plan.finish, len(step.closures)))


def _chosen(steps: Sequence[Step], number: int) -> Step:
    for step in steps:
        if len(step.closures) == number:
            return step
    raise ValueError(f"there is no step with {number} closures, only with {[len(one.closures) for one in steps]}")


def _refusals(planner: Planner, step: Step, until: float, say: Say) -> dict[str, Refusal]:
    used = planner.bits(frozenset(step.closures))
    found = {}
    for number, id in enumerate(step.closures):
        say(f"without {id}")
        share = max(0.0, until - monotonic()) / (len(step.closures) - number)
        found[id] = refusal(planner, used, id, step.plan, monotonic() + share)
    return found


def _bettered(step: Step, refusals: dict[str, Refusal]) -> Step | None:
    """Return the cheapest plan that looking for second choices came upon, if it is no later and costs less."""
    found = [one.second for one in refusals.values() if one.second is not None and one.second.slots_lost <= 0]
    cheaper = [one for one in found if one.money_lost < -0.005 and len(one.closures) <= len(step.closures)]
    if not cheaper:
        return None
    best = min(cheaper, key=lambda one: (one.money_lost, one.slots_lost))
    floor = min(step.floor, best.plan.finish)
    return Step(len(best.closures), best.closures, best.plan, best.terms, floor, best.plan.finish <= floor)


def _worths(planner: Planner, step: Step, refusals: dict[str, Refusal], say: Say) -> tuple[ClosureWorth, ...]:
    used = planner.bits(frozenset(step.closures))
    least: dict[str, LeastLength] = {}
    for ends in (FINISH_FIRST, START_FIRST):
        for id in step.closures:
            if id not in least or not planner.late():
                say(f"least length of {id}")
                found = least_length(planner, used, id, step.plan, ends)
                least[id] = min((least.get(id, found), found), key=_shortness)
    job = planner.job
    return tuple(
        ClosureWorth(job.closure(id), work_inside(job, step.plan, id), least[id], refusals[id])
        for id in step.closures
    )


def _shortness(least: LeastLength) -> tuple[bool, int]:
    return not least.sought, len_of(least.window)


def _no_plan(
    asked: Job, given: Job, planner: Planner, numbered: TradeOff, priced: TradeOff, weather: JobWeather, until: float
) -> Study:
    proved_none = planner.floor(planner.every) is None
    missing = _missing(asked, given, weather, until, planner.seed)
    return Study(given, numbered, priced, None, (), planner.reasons_for(planner.every), proved_none, missing)


def _missing(asked: Job, given: Job, weather: JobWeather, until: float, seed: int) -> tuple[str, ...]:
    """Return the fewest closures that have to be given as well, of those that the job's file does not refuse."""
    planner = Planner(asked, weather, until, seed)
    have = planner.bits(frozenset(one.id for one in given.closures if one.state is not ClosureState.REFUSED))
    rest = planner.every & ~have
    for size in range(1, rest.bit_count() + 1):
        sets = [have | more for more in planner.sets(rest) if more.bit_count() == size]
        best = hunt(planner, sets, _adds_no_more(have, size), rounds=(QUICK_TRIALS,))
        if best.plan is not None:
            return tuple(name for name in planner.names if name in planner.ids(best.used & ~have))
    return ()


def _adds_no_more(have: ClosureSet, size: int) -> Callable[[ClosureSet], bool]:
    return lambda used: (used & ~have).bit_count() <= size
