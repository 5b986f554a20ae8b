"""Why there is no plan: the smallest set of requirements that cannot hold together, by leaving out in turn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from time import monotonic

from planner.audit.wording import list_words
from planner.network.options import Chosen
from planner.problem.requirements import Dropped, Requirement
from planner.solve.clashes import NoPlan, called, left_as_it_is, requirements, smallest
from planner.solve.elements import elements_needed
from planner.solve.exactness import is_exact
from planner.solve.giving_way import GivingWay, lead
from planner.solve.options import Ways
from planner.solve.part_ways import PartWays, part_ways
from planner.solve.place import Stuck
from planner.solve.reasons_together import Judge, together
from planner.solve.schedule import Choice, Schedule, Workshop, in_order, lay_alone, lay_out, make_workshop

SECONDS_ALONE = 10.0
"""Time for exact search where laying an element alone proves nothing [s]; what is not proved by then is not said."""


def explain_no_plan(
    ways: Ways,
    chosen: Chosen,
    orders: Sequence[tuple[int, ...]],
    stop: Callable[[], bool] = lambda: False,
) -> NoPlan:
    """Say why no schedule was found; `orders` are orders of units tried in vain, done as `chosen` says.

    stop: says that no more reasons are wanted.
    """
    workshop = ways.workshop(chosen)
    stuck = {called(ways.job, workshop, unit): part for unit, part in _stuck_alone(ways, workshop, chosen)}
    if not stuck:
        return together(ways, chosen, orders, stop)
    (name, part), *others = stuck.items()
    found = _alone(part, name, Judge(monotonic() + SECONDS_ALONE, stop))
    if not others:
        return found
    names = list_words([other for other, _ in others])
    more = f"Nor can {names} be done alone: plan again once this is mended to be told why"
    return replace(found, reasons=(*found.reasons, more))


def _stuck_alone(ways: Ways, workshop: Workshop, chosen: Chosen) -> Iterator[tuple[int, PartWays]]:
    """Yield each unit, with the part that it is, that finds no place alone in any of its ways."""
    for unit in workshop.problem.units:
        if isinstance(lay_alone(workshop, unit.index), Stuck):
            part = part_ways(ways, elements_needed(workshop.problem, unit.index), chosen)
            if all(_is_stuck(make_workshop(problem)) for problem in part.problems()):
                yield unit.index, part


def has_no_place_alone(workshop: Workshop) -> bool:
    """Say whether some element surely can't be done even with everything else out of the way."""
    stuck = (unit.index for unit in workshop.problem.units if isinstance(lay_alone(workshop, unit.index), Stuck))
    return any(is_exact(workshop.problem, unit) for unit in stuck)


def _is_stuck(workshop: Workshop) -> bool:
    return any(isinstance(lay_alone(workshop, unit.index), Stuck) for unit in workshop.problem.units)


def _alone(part: PartWays, name: str, judge: Judge) -> NoPlan:
    """Say why a part has no place alone in any of its ways."""
    job, weather, issued = part.part, part.ways.weather, part.ways.issued
    asked = requirements(job, weather)
    needed = smallest(asked, lambda kept: not _can_be_done(part, set(asked) - set(kept)))
    proved = _surely_none(part, frozenset(), judge)
    tail = "One thing stands in the way:"
    if not needed:
        days = job.job.days
        words: tuple[str, ...] = (f"the work on {name} is longer than the {days} days of the job",)
        if issued is not None and issued.now:
            words = (f"what is left of the work on {name} is longer than what is left of the {days} days of the job",)
    else:
        giving = GivingWay(job, weather, partial(_without, part, judge), issued=issued, usual=len(part.chosen) > 1)
        reasons = giving.reasons(needed)
        words, tail = giving.lines(reasons), lead(reasons)
    head = "No plan exists" if proved else "No plan was found"
    said_first = f"{head}: {name} can't be done even with everything else out of the way{part.words}. {tail}"
    elements = {element.id for element in job.elements}
    return NoPlan(proved, (said_first, *words, *left_as_it_is(part.ways.job, elements, issued)), needed)


def _without(part: PartWays, judge: Judge, requirement: Requirement) -> bool | None:
    """Say whether a part has a place in one of its ways without one requirement, or surely in none."""
    dropped = frozenset((requirement,))
    if _can_be_done(part, set(dropped)):
        return True
    return False if _surely_none(part, dropped, judge) else None


def _surely_none(part: PartWays, dropped: Dropped, judge: Judge) -> bool:
    """Say whether a part surely has no place in any of its ways: where laying it is no proof, by exact search."""
    problems = part.problems(dropped)
    return part.complete and all(has_no_place_alone(make_workshop(one)) or judge.clashes(one) for one in problems)


def _can_be_done(part: PartWays, dropped: set[Requirement]) -> bool:
    """Say whether the part finds a place in any of its ways."""
    for problem in part.problems(frozenset(dropped)):
        workshop = make_workshop(problem)
        order = in_order(problem, range(len(problem.units)))
        laid = lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs))
        if isinstance(laid, Schedule):
            return True
    return False
