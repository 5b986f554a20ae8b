"""Figures that no plan can beat, by arguments that leave out the competition between units."""

from __future__ import annotations

from bisect import bisect_right
from itertools import combinations, pairwise

from planner.model import Aim
from planner.problem.parts import Problem, Task
from planner.solve.place import Stuck
from planner.solve.schedule import Workshop, lay_alone, needs_of

MOST_CLOSURES_TO_ENUMERATE = 14


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


def is_exact(problem: Problem, unit: int) -> bool:
    """Say whether laying the unit alone gives its earliest finish, or proves that it has no place.

    True for chains in which no task could gain later by starting later: see `_has_no_trade`.
    """
    whole = (unit, *needs_of(problem, unit))
    return all(
        problem.units[one].chain and all(_has_no_trade(problem, task) for task in problem.units[one].tasks)
        for one in whole
    )


def _has_no_trade(problem: Problem, index: int) -> bool:
    """Say whether a task's earliest finish is all that the rest of its chain could want of it.

    Work that may be cut can trade a later start for an earlier finish where gangs or overlapping closures
    offer it, which matters if a gap looks at its start.
    """
    task = problem.tasks[index]
    if not task.splittable:
        return True
    if any(index in stretch.members for stretch in problem.stretches):
        closures: tuple[int, ...] = ()
    else:
        closures = task.closures or ()
    watched = any(
        (lag.before == index and lag.shuts is not None) or (lag.after == index and lag.from_start)
        for lag in problem.lags
    )
    return not _overlap(problem, closures) and (len(task.gangs) == 1 or not watched)


def _overlap(problem: Problem, closures: tuple[int, ...]) -> bool:
    spans = sorted((problem.closures[index].start, problem.closures[index].finish) for index in closures)
    return any(second[0] < first[1] for first, second in pairwise(spans))


def loose_finish(workshop: Workshop, tasks: tuple[int, ...]) -> int:
    """Return a finish that holds however the choices fall: the plain order and the opening of the gaps only."""
    problem = workshop.problem
    start: dict[int, int] = {}
    finish: dict[int, int] = {}
    for index in tasks:
        task = problem.tasks[index]
        low = 0
        for lag in problem.lags:
            if lag.before == index and lag.after in start:
                anchor = start[lag.after] if lag.from_start else finish[lag.after]
                opens = anchor if lag.opens is None else lag.opens[anchor]
                low = max(low, opens - task.length if lag.to_finish else opens)
        start[index] = max(0, min(low, problem.horizon))
        finish[index] = min(start[index] + task.length, problem.horizon)
    return max(finish.values())


def closure_sets(workshop: Workshop) -> list[frozenset[int]]:
    """Return, for each task or stretch that needs one, the closures in which it could lie at all."""
    problem = workshop.problem
    sets = []
    for task in problem.tasks:
        if task.closures is not None:
            sets.append(frozenset(index for index in task.closures if _could_lie(workshop, task, index)))
    sets += [frozenset(stretch.closures) for stretch in problem.stretches]
    return [one for one in set(sets) if not any(other < one for other in sets)]


def _could_lie(workshop: Workshop, task: Task, closure: int) -> bool:
    if task.splittable:
        return any(work & workshop.masks.windows[closure] for work in workshop.masks.work[task.index])
    within = workshop.masks.within[task.index][closure]
    return any(starts & within for starts in workshop.masks.starts[task.index])


def closures_bound(workshop: Workshop) -> tuple[int, float]:
    """Return (fewest closures, least money for closures) with which every task could find one of its own."""
    sets = closure_sets(workshop)
    wanted = sorted(frozenset().union(*sets)) if sets else []
    if not sets:
        return 0, 0.0
    costs = [closure.cost for closure in workshop.problem.closures]
    if len(wanted) > MOST_CLOSURES_TO_ENUMERATE:
        return _disjoint(sets), _cheapest_disjoint(sets, costs)
    fewest: int | None = None
    cheapest = float("inf")
    for count in range(1, len(wanted) + 1):
        for chosen in combinations(wanted, count):
            money = sum(costs[index] for index in chosen)
            if (fewest is None or money < cheapest) and all(one & set(chosen) for one in sets):
                fewest = count if fewest is None else fewest
                cheapest = min(cheapest, money)
    return fewest or 0, cheapest if fewest else 0.0


def _disjoint(sets: list[frozenset[int]]) -> int:
    taken: set[int] = set()
    count = 0
    for one in sorted(sets, key=len):
        if not one & taken:
            taken |= one
            count += 1
    return count


def _cheapest_disjoint(sets: list[frozenset[int]], costs: list[float]) -> float:
    taken: set[int] = set()
    money = 0.0
    for one in sorted(sets, key=len):
        if one and not one & taken:
            taken |= one
            money += min(costs[index] for index in one)
    return money


def cost_bound(workshop: Workshop, finish: int) -> float:
    """Return money that no plan goes below: prelims up to the bound on the finish, closures, gang time.

    Gang time: no slot of work costs less than the cheapest capable gang's shift spread over its longest shift.
    """
    problem = workshop.problem
    days = bisect_right(problem.day_starts, finish - 1)
    rate = [gang.cost / max((end - start for start, end in gang.shift_spans), default=1) for gang in problem.gangs]
    crews = sum(task.length * min((rate[gang] for gang in task.gangs), default=0.0) for task in problem.tasks)
    return problem.prelims_per_day * days + closures_bound(workshop)[1] + crews


def bound(workshop: Workshop, aim: Aim) -> float | None:
    """Return the bound for `aim` in the unit of `worth`'s first term; None if some unit has no place at all."""
    finish = finish_bound(workshop)
    if finish is None:
        return None
    if aim is Aim.FINISH:
        return float(finish)
    return float(closures_bound(workshop)[0]) if aim is Aim.CLOSURES else cost_bound(workshop, finish)
