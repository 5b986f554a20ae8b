"""What is lost if a closure is refused, and which other one to ask for then: planned again without it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from planner.closures.hunt import QUICK_TRIALS, Best, hunt
from planner.closures.planning import ClosureSet, Planner
from planner.closures.results import Instead, Refusal, settled_money
from planner.model import Plan
from planner.model.keys import element_of
from planner.solve.in_time import Question

PROBE_SECONDS = 10.0
"""For one exact search."""


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
    second = _cheaper(planner, used & ~refused, refused, plan, second, until)
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
    planner: Planner, kept: ClosureSet, refused: ClosureSet, plan: Plan, second: Best, until: float | None
) -> Best:
    """Return the plan of least money that is no later than `second`, or than `plan` where that is later.

    Beside what is known, none and then one other closure is put in the place of the refused one, the cheapest first:
    an exact search says whether it does. `second` stays where nothing is cheaper.
    """
    limit = plan.finish if second.plan is None else max(plan.finish, second.plan.finish)
    others = planner.every & ~refused
    swaps = [kept, *(kept | 1 << place for place in range(len(planner.names)) if others & ~kept & 1 << place)]
    for one in sorted(swaps, key=planner.cost):
        floor = planner.floor(one)
        hopeful = floor is not None and floor <= limit and not planner.late(until)
        if hopeful and _swapped(planner, one, refused, plan, limit, until):
            break
    size = max(kept.bit_count() + 1, second.used.bit_count())
    found = [
        (
            settled_money(planner.terms(other)),
            (used & ~kept).bit_count(),
            other.finish,
            planner.preference(used),
            used,
        )
        for used, other in planner.plans.items()
        if used & others == used and used.bit_count() <= size and other.finish <= limit
    ]
    for *_, used in sorted(found):
        if planner.is_sound(planner.plans[used]):
            return Best(used, planner.plans[used], second.floor)
    return second


def _swapped(
    planner: Planner, closures: ClosureSet, refused: ClosureSet, plan: Plan, limit: int, until: float | None
) -> bool:
    """Say whether a plan in these closures ends by slot `limit`, and keep it: in doubt is what was in the refused."""
    ids = planner.ids(refused)
    elements = frozenset(element_of(one.operation) for one in plan.placements if one.closure in ids)
    question = Question(planner.only(closures), limit, elements, plan)
    answer = planner.in_time.answer(question, planner.left(until, PROBE_SECONDS))
    if answer.plan is not None and planner.is_sound(answer.plan):
        planner.keep(answer.plan)
        return True
    if not answer.proved:
        planner.attempt(closures, QUICK_TRIALS, until)
    return any(used & closures == used and one.finish <= limit for used, one in planner.plans.items())


def sharpened(planner: Planner, used: ClosureSet, id: str, plan: Plan, refusal: Refusal) -> Refusal:
    """Return the refusal of `id` with its second choice as early as its closures allow, while there is time."""
    second = refusal.second
    if second is None or second.proved or second.slots_lost <= 0:
        return refusal
    elements = frozenset(element_of(one.operation) for one in plan.placements if one.closure == id)
    best = hastened(planner, planner.bits(frozenset(second.closures)), elements, second.plan)
    if best is second.plan:
        return refusal
    others = planner.every & ~planner.bits(frozenset({id}))
    sooner = _instead(
        planner, used, plan, Best(planner.bits(frozenset(best.closures_used)), best, planner.floor(others))
    )
    earliest = refusal.earliest
    if earliest is None or earliest.plan.finish >= best.finish:
        earliest = sooner
    return replace(refusal, second=sooner, earliest=earliest)


def hastened(planner: Planner, closures: ClosureSet, elements: frozenset[str], plan: Plan) -> Plan:
    """Return a plan in some closures that is as early as exact search finds, by halves; at least `plan`.

    elements: those that are in doubt.
    """
    low = planner.floor(closures) or 0
    while low < plan.finish and not planner.late():
        latest = (low + plan.finish) // 2
        question = Question(planner.only(closures), latest, elements, plan)
        answer = planner.in_time.answer(question, PROBE_SECONDS)
        if answer.plan is not None and planner.is_sound(answer.plan):
            planner.keep(answer.plan)
            plan = answer.plan
        elif answer.proved:
            low = latest + 1
        else:
            break
    return plan


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
        money_lost=settled_money(terms) - settled_money(planner.terms(before)),
        proved=best.proved,
    )
