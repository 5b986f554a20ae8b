"""Figures that no plan can beat, by arguments that leave out the competition between units."""

from __future__ import annotations

from bisect import bisect_right

from planner.model import Aim
from planner.solve.closure_bounds import closures_bound
from planner.solve.exactness import is_exact
from planner.solve.place import Stuck
from planner.solve.schedule import Workshop, lay_alone, must_change


def finish_bound(workshop: Workshop) -> int | None:
    """Return a slot before which no plan finishes: every unit alone with everything free; None if one can't be.

    For units that are laid exactly alone (see `is_exact`) this is the earliest finish of the longest one;
    the others count with `loose_finish`.
    """
    finishes = []
    for unit in workshop.problem.units:
        laid = lay_alone(workshop, unit.index)
        if isinstance(laid, Stuck):
            return None
        exact = is_exact(workshop.problem, unit.index)
        finishes.append(max(one.finish for one in laid) if exact else loose_finish(workshop, unit.tasks))
    return max(finishes)


def loose_finish(workshop: Workshop, tasks: tuple[int, ...]) -> int:
    """Return a finish that holds however the choices fall: the plain order and the opening of the gaps only."""
    problem = workshop.problem
    start: dict[int, int] = {}
    finish: dict[int, int] = {}
    for index in tasks:
        task = problem.tasks[index]
        low = 0
        for lag in problem.lags_of[index]:
            if lag.before == index and lag.after in start:
                anchor = start[lag.after] if lag.from_start else finish[lag.after]
                opens = anchor if lag.opens is None else lag.opens[anchor]
                low = max(low, opens - task.length if lag.to_finish else opens)
        start[index] = max(0, min(low, problem.horizon))
        finish[index] = min(start[index] + task.length, problem.horizon)
    return max(finish.values())


def cost_bound(workshop: Workshop, finish: int) -> float:
    """Return money that no plan goes below: prelims up to the bound on the finish, closures, gang time; no moves.

    Gang time: no slot of work costs less than the cheapest capable gang's shift spread over its longest shift.
    """
    problem = workshop.problem
    days = bisect_right(problem.day_starts, finish - 1)
    rate = [gang.cost / max((end - start for start, end in gang.shift_spans), default=1) for gang in problem.gangs]
    crews = sum(task.length * min((rate[gang] for gang in task.gangs), default=0.0) for task in problem.tasks)
    return problem.prelims_per_day * days + closures_bound(workshop)[1] + crews


def changes_bound(workshop: Workshop) -> int:
    """Return how many operations can't stay as issued, each by itself."""
    return sum(must_change(workshop, task.index) for task in workshop.problem.tasks)


def bound(workshop: Workshop, aim: Aim) -> float | None:
    """Return the bound for `aim` in the unit of `worth`'s first term; None if some unit has no place at all."""
    finish = finish_bound(workshop)
    if finish is None:
        return None
    if aim is Aim.CHANGE:
        return float(workshop.problem.vanished + changes_bound(workshop))
    if aim is Aim.FINISH:
        return float(finish)
    if aim is Aim.CLOSURES:
        return float(closures_bound(workshop)[0])
    per_move, gone = workshop.problem.moved_cost, workshop.problem.vanished
    return cost_bound(workshop, finish) + (per_move * (gone + changes_bound(workshop)) if per_move else 0.0)
