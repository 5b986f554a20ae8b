"""The stepped trade-off: the earliest finish with so many closures, and for so much money spent on them."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from planner.closures.hunt import ROUNDS, Best, hunt, standing
from planner.closures.planning import ClosureSet, Planner, Say
from planner.closures.results import SLOTS_PER_DAY, Step, TradeOff


def by_number(
    planner: Planner,
    until: float | None = None,
    rounds: tuple[int, ...] = ROUNDS,
    most: int | None = None,
    say: Say = lambda _: None,
) -> TradeOff:
    """Return the trade-off of finish against number of closures; every number from 0 up is looked at.

    until, rounds, most: as of `hunt`, for each number.
    """
    if rounds and not planner.lists_all(planner.every):
        _descend(planner, until)
    by_size: dict[int, list[ClosureSet]] = {}
    for one in dict.fromkeys((*planner.sets(planner.every), *planner.plans)):
        by_size.setdefault(one.bit_count(), []).append(one)
    whole = planner.lists_all(planner.every)
    found: list[tuple[float, Best]] = []
    for size, sets in sorted(by_size.items()):
        best = hunt(planner, sets, _no_more(size), until, rounds, most)
        found.append((size, best))
        if best.plan is not None:
            proved = ", proved" if best.proved and whole else ""
            say(f"with {size}: {best.plan.finish / SLOTS_PER_DAY:.2f} days{proved}")
            if best.plan.finish == planner.floor(planner.every):
                break
    return _steps(planner, found)


def by_money(planner: Planner, until: float | None = None, rounds: tuple[int, ...] = ROUNDS) -> TradeOff:
    """Return the trade-off of finish against money for closures, on the plans that are known and on further ones."""
    listed = dict.fromkeys((*planner.sets(planner.every), *planner.plans))
    sets = sorted((one for one in listed if planner.floor(one) is not None), key=planner.cost)
    for trials in rounds:
        for one in sets:
            if planner.late(until):
                break
            if planner.tried(one) < trials and _could_step(planner, one):
                planner.attempt(one, trials, until)
    found: list[tuple[float, Best]] = []
    floor: int | None = None
    for price, level in groupby(sets, key=planner.cost):
        floors = [known for one in level if (known := planner.floor(one)) is not None]
        floor = min(floors if floor is None else [floor, *floors], default=None)
        found.append((price, standing(planner, floor, _no_dearer(planner, price))))
    return _steps(planner, found)


def _descend(planner: Planner, until: float | None) -> None:
    """Plan in ever fewer closures, from the best plan known on: without each that it uses, the earliest goes on.

    For jobs with too many closures to look at every set of them.
    """
    best = planner.best(lambda _: True)
    while best is not None and not planner.late(until):
        used = best[0]
        fewer = [used & ~(1 << place) for place in range(len(planner.names)) if used >> place & 1]
        for one in sorted(fewer, key=planner.cost):
            if not planner.late(until):
                planner.attempt(one, ROUNDS[0], until)
        best = planner.best(_inside_any(fewer))


def _inside_any(sets: list[ClosureSet]) -> Callable[[ClosureSet], bool]:
    return lambda used: any(used & one == used for one in sets)


def _no_more(size: int) -> Callable[[ClosureSet], bool]:
    return lambda used: used.bit_count() <= size


def _no_dearer(planner: Planner, price: float) -> Callable[[ClosureSet], bool]:
    return lambda used: planner.cost(used) <= price + 1e-6


def _could_step(planner: Planner, closures: ClosureSet) -> bool:
    """Say whether a plan in these closures might finish earlier than any that costs no more for closures."""
    floor = planner.floor(closures)
    best = planner.best(_no_dearer(planner, planner.cost(closures)))
    return floor is not None and (best is None or floor < best[1].finish)


def _steps(planner: Planner, found: list[tuple[float, Best]]) -> TradeOff:
    steps: list[Step] = []
    whole = planner.lists_all(planner.every)
    bottom = planner.floor(planner.every)
    complete = whole
    for price, best in found:
        complete = complete and best.proved
        if best.plan is None or (steps and best.plan.finish >= steps[-1].plan.finish):
            continue
        floor = best.floor if best.floor is not None and whole else bottom or 0
        names = tuple(name for name in planner.names if name in planner.ids(best.used))
        terms = planner.terms(best.plan)
        steps.append(Step(price, names, best.plan, terms, floor, best.plan.finish <= floor))
    reached = bool(steps) and steps[-1].plan.finish == bottom
    return TradeOff(tuple(steps), complete and (reached or not steps))
