"""Why there is no plan: the smallest set of requirements that cannot hold together, by leaving out in turn."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.network.options import Chosen
from planner.problem.requirements import Requirement
from planner.solve.clashes import NoPlan, called, lead, left_as_it_is, requirements, said, smallest
from planner.solve.elements import elements_needed
from planner.solve.exactness import is_exact
from planner.solve.options import Ways
from planner.solve.part_ways import PartWays, part_ways
from planner.solve.place import Stuck
from planner.solve.reasons_together import together
from planner.solve.schedule import Choice, Schedule, Workshop, in_order, lay_alone, lay_out, make_workshop


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
    for unit in workshop.problem.units:
        if isinstance(lay_alone(workshop, unit.index), Stuck):
            part = part_ways(ways, elements_needed(workshop.problem, unit.index), chosen)
            alone = [make_workshop(problem) for problem in part.problems()]
            if all(_is_stuck(one) for one in alone):
                return _alone(part, called(ways.job, workshop, unit.index), all(map(has_no_place_alone, alone)))
    return together(ways, chosen, orders, stop)


def has_no_place_alone(workshop: Workshop) -> bool:
    """Say whether some element surely can't be done even with everything else out of the way."""
    stuck = (unit.index for unit in workshop.problem.units if isinstance(lay_alone(workshop, unit.index), Stuck))
    return any(is_exact(workshop.problem, unit) for unit in stuck)


def _is_stuck(workshop: Workshop) -> bool:
    return any(isinstance(lay_alone(workshop, unit.index), Stuck) for unit in workshop.problem.units)


def _alone(part: PartWays, name: str, sure: bool) -> NoPlan:
    """Say why a part has no place alone in any of its ways; sure: whether laying it shows that in each of them."""
    job, weather, issued = part.part, part.ways.weather, part.ways.issued
    asked = requirements(job, weather)
    needed = smallest(asked, lambda kept: not _can_be_done(part, set(asked) - set(kept)))
    proved = sure and part.complete
    if not needed:
        days = job.job.days
        words: tuple[str, ...] = (f"the work on {name} is longer than the {days} days of the job",)
        if issued is not None and issued.now:
            words = (f"what is left of the work on {name} is longer than what is left of the {days} days of the job",)
    else:
        words = tuple(said(job, weather, one, issued=issued, usual=len(part.chosen) > 1) for one in needed)
    head = "No plan exists" if proved else "No plan was found"
    said_first = f"{head}: {name} can't be done even with everything else out of the way{part.words}. {lead(words)}"
    elements = {element.id for element in job.elements}
    return NoPlan(proved, (said_first, *words, *left_as_it_is(part.ways.job, elements, issued)), needed)


def _can_be_done(part: PartWays, dropped: set[Requirement]) -> bool:
    """Say whether the part finds a place in any of its ways."""
    for problem in part.problems(frozenset(dropped)):
        workshop = make_workshop(problem)
        order = in_order(problem, range(len(problem.units)))
        laid = lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs))
        if isinstance(laid, Schedule):
            return True
    return False
