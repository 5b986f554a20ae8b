"""Which elements can't stay as they were issued: an operation has no place there, or a gap or a reopening is not met.

Cheap, and only a hint where to look: what else could keep an element from staying is left to exact search.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.model.keys import element_of
from planner.problem.parts import Lag, Placed, Problem, StretchRule
from planner.solve.schedule import Workshop, must_change


def restless_elements(workshop: Workshop) -> frozenset[str]:
    """Return the elements with work that can't all stay where it was issued, even by themselves."""
    problem = workshop.problem
    return frozenset(element_of(problem.tasks[task].key) for task in _restless(workshop))


def _restless(workshop: Workshop) -> Iterator[int]:
    problem = workshop.problem
    yield from (task.index for task in problem.tasks if must_change(workshop, task.index))
    for lag in problem.lags:
        after, before = problem.tasks[lag.after].issued, problem.tasks[lag.before].issued
        if after is not None and before is not None and not _is_met(lag, after, before):
            yield lag.before
    for stretch in problem.stretches:
        yield from (task for task, opens in stretch.fits if not _reopens(problem, stretch, task, opens))


def _is_met(lag: Lag, after: Placed, before: Placed) -> bool:
    anchor = after.start if lag.from_start else after.finish
    at = before.finish if lag.to_finish else before.start
    opens = anchor if lag.opens is None else lag.opens[anchor]
    return opens <= at and (lag.shuts is None or at <= lag.shuts[anchor])


def _reopens(problem: Problem, stretch: StretchRule, task: int, opens: list[int]) -> bool:
    """Say whether a task that stays leaves its lane fit in time, in the closure in which the stretch was issued."""
    issued = problem.tasks[task].issued
    if issued is None:
        return True
    ends = [
        problem.closures[closure].finish
        for closure in stretch.closures
        if problem.closures[closure].start <= issued.start and issued.finish <= problem.closures[closure].finish
    ]
    return not ends or opens[issued.finish] <= max(ends)
