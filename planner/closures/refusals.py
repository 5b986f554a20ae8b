"""What is lost if a closure is refused, and which other one to ask for then: planned again without it."""

from __future__ import annotations

from collections.abc import Callable

from planner.closures.hunt import QUICK_TRIALS, Best, hunt
from planner.closures.planning import ClosureSet, Planner
from planner.closures.results import Instead, Refusal
from planner.model import Plan


def refusal(planner: Planner, used: ClosureSet, id: str, plan: Plan, until: float | None = None) -> Refusal:
    """Return what comes of refusing `id`, one of the closures `used` by `plan`; all others may be used instead."""
    refused = planner.bits(frozenset({id}))
    others = planner.every & ~refused
    size = used.bit_count()
    planner.attempt(others, QUICK_TRIALS)
    second = Best(0, None, None)
    while second.plan is None and size <= others.bit_count():
        second = _hunt(planner, others, size, until)
        size += 1
    second = _cheaper(planner, used & ~refused, others, plan, second, until)
    earliest = second
    if second.plan is None or second.plan.finish > plan.finish:
        earliest = hunt(planner, [others], _within(others), until)
    if earliest is not second and earliest.plan is not None:
        earliest = _in_fewer(planner, earliest, others, until)
    return Refusal(
        _instead(planner, used, plan, earliest),
        _instead(planner, used, plan, second),
        earliest.plan is None and earliest.floor is None,
        planner.reasons_for(others) if earliest.plan is None and not planner.late() else (),
    )


def _hunt(planner: Planner, among: ClosureSet, size: int, until: float | None) -> Best:
    sets = [one for one in planner.sets(among) if one.bit_count() == size]
    return hunt(planner, sets, lambda used: used & among == used and used.bit_count() <= size, until, (QUICK_TRIALS,))


def _cheaper(
    planner: Planner, kept: ClosureSet, others: ClosureSet, plan: Plan, second: Best, until: float | None
) -> Best:
    """Return the plan of least cost that is no later than `plan`, with one other closure in place of the refused one.

    The earliest plan, `second`, stays where there is none.
    """
    swaps = [kept | 1 << place for place in range(len(planner.names)) if others & ~kept & 1 << place]
    for one in sorted(swaps, key=planner.cost):
        floor = planner.floor(one)
        if floor is not None and floor <= plan.finish and not planner.late(until):
            planner.attempt(one, QUICK_TRIALS, until)
    size = kept.bit_count() + 1
    found = [
        (planner.terms(other).cost, planner.preference(used), used)
        for used, other in planner.plans.items()
        if used & others == used and used.bit_count() <= size and other.finish <= plan.finish
    ]
    for _, _, used in sorted(found):
        if planner.is_sound(planner.plans[used]):
            return Best(used, planner.plans[used], second.floor)
    return second


def _within(among: ClosureSet) -> Callable[[ClosureSet], bool]:
    return lambda used: used & among == used


def _in_fewer(planner: Planner, best: Best, among: ClosureSet, until: float | None) -> Best:
    """Return a plan as early in as few closures as leaving out one after the other comes to."""
    assert best.plan is not None
    used = _fewest(planner, among, best.plan.finish)
    for place in range(len(planner.names)):
        one = 1 << place
        floor = planner.floor(used & ~one) if used & one else None
        if floor is not None and floor <= best.plan.finish and not planner.late(until):
            planner.attempt(used & ~one, QUICK_TRIALS, until)
            used = _fewest(planner, used, best.plan.finish)
    return Best(used, planner.plans[used], best.floor)


def _fewest(planner: Planner, among: ClosureSet, finish: int) -> ClosureSet:
    """Return the fewest closures of an audited plan that finishes so early."""
    early = [(one, plan) for one, plan in planner.plans.items() if one & among == one and plan.finish <= finish]
    sound = (one for one, plan in early if planner.is_sound(plan))
    return min(sound, key=lambda one: (one.bit_count(), planner.preference(one)))


def _instead(planner: Planner, used: ClosureSet, before: Plan, best: Best) -> Instead | None:
    if best.plan is None:
        return None
    terms = planner.terms(best.plan)
    new = planner.ids(best.used & ~used)
    return Instead(
        plan=best.plan,
        terms=terms,
        closures=tuple(name for name in planner.names if name in planner.ids(best.used)),
        added=tuple(name for name in planner.names if name in new),
        slots_lost=best.plan.finish - before.finish,
        money_lost=terms.cost - planner.terms(before).cost,
        proved=best.proved,
    )
