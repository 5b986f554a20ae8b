"""Where laying a unit alone is more than a good guess: it gives the earliest finish, or proves there is none."""

from __future__ import annotations

from itertools import pairwise

from planner.problem.parts import Problem
from planner.solve.schedule import needs_of


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
    if index in problem.exposed:
        closures: tuple[int, ...] = ()
    else:
        closures = task.closures or ()
    watched = task.latest is not None or any(
        (lag.before == index and lag.shuts is not None) or (lag.after == index and lag.from_start)
        for lag in problem.lags_of[index]
    )
    return not _overlap(problem, closures) and (len(task.gangs) == 1 or not watched)


def _overlap(problem: Problem, closures: tuple[int, ...]) -> bool:
    spans = sorted((problem.closures[index].start, problem.closures[index].finish) for index in closures)
    return any(second[0] < first[1] for first, second in pairwise(spans))
