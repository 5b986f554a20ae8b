"""The best plan in any of many sets of closures: the most promising are planned first, the hopeless never."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from planner.closures.planning import ClosureSet, Planner
from planner.model import Plan

QUICK_TRIALS = 20
LONG_TRIALS = 300
"""Orders tried with one set of closures: at first, and once all sets had their turn."""
ROUNDS = (QUICK_TRIALS, LONG_TRIALS)


@dataclass(frozen=True)
class Best:
    """The best plan found, the closures that it uses, and a slot before which no plan that fits finishes.

    plan None: none was found; floor None: there is none.
    """

    used: ClosureSet
    plan: Plan | None
    floor: int | None

    @property
    def proved(self) -> bool:
        """Whether nothing better exists: no earlier plan, or no plan at all."""
        return self.floor is None if self.plan is None else self.floor is not None and self.plan.finish <= self.floor


def hunt(
    planner: Planner,
    sets: Iterable[ClosureSet],
    fits: Callable[[ClosureSet], bool],
    until: float | None = None,
    rounds: tuple[int, ...] = ROUNDS,
    most: int | None = None,
) -> Best:
    """Plan in `sets`, each in turn while it could still better what is known, for some trials and then for more.

    sets: the largest that fit, so that every plan that fits lies in one of them. fits: says so of the closures that
    a plan uses. most: how many sets are planned at the most. A set that could only tie is planned where its closures
    are used more willingly.
    """
    hopeful = [one for one in sets if planner.floor(one) is not None]
    left = len(hopeful) * len(rounds) if most is None else most
    for trials in rounds:
        for one in sorted(hopeful, key=lambda closures: _promise(planner, closures)):
            if not left or planner.late(until):
                break
            if planner.tried(one) < trials and _could_better(planner, one, fits):
                planner.attempt(one, trials, until)
                left -= 1
    floors = [floor for one in hopeful if (floor := planner.floor(one)) is not None]
    return standing(planner, min(floors, default=None), fits)


def standing(planner: Planner, floor: int | None, fits: Callable[[ClosureSet], bool]) -> Best:
    """Return the best plan that is known to fit, where no plan that fits finishes before `floor`."""
    best = planner.best(fits)
    if best is None:
        return Best(0, None, floor)
    used, plan = best
    return Best(used, plan, plan.finish if floor is None else min(plan.finish, floor))


def _promise(planner: Planner, closures: ClosureSet) -> tuple[object, ...]:
    return planner.floor(closures) or 0, planner.preference(closures), closures


def _could_better(planner: Planner, closures: ClosureSet, fits: Callable[[ClosureSet], bool]) -> bool:
    floor = planner.floor(closures)
    if floor is None:
        return False
    best = planner.best(fits)
    if best is None or floor < best[1].finish:
        return True
    return floor == best[1].finish and planner.preference(closures) < planner.preference(best[0])
