"""How few operations can change whatever is chosen: each part with a choice by itself, and what no choice touches.

The parts share no operation, so that their figures add up. A part counts with its best way of being done, alone; what
no choice touches with the operations that can't stay where they are even by themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from planner.model import Aim
from planner.model.keys import element_of
from planner.problem.parts import Placed, Problem
from planner.solve.exact import Limits, solve_exactly
from planner.solve.exact_scope import whole_scope
from planner.solve.options import Ways
from planner.solve.schedule import Workshop, make_workshop, must_change

MOST_TASKS = 160


def change_floor(ways: Ways, known: Iterable[tuple[str, Placed]], limits: Limits, stop: Callable[[], bool]) -> float:
    """Return a number of changed operations that no plan goes below.

    known: where a plan has the operations, by key, to begin from. limits: for each exact search.
    """
    if ways.issued is None:
        return 0.0
    placed, total, counted = dict(known), 0.0, set[str]()
    for part in ways.every_way():
        new = {element_of(task.key) for way in part for task in way.problem.tasks} - counted
        if len(part) > 1:
            new &= ways.open_to_choice
        counted |= new
        if len(part) > 1:
            total += min(_least(way, new, ways, placed, limits, stop) for way in part)
        else:
            total += sum(must_change(part[0], task.index) for task in part[0].problem.tasks)
    gone = {key for key in ways.issued.visits if element_of(key) not in counted}
    left_out = gone - {task.key for task in ways.workshop().problem.tasks}
    return total + len(left_out)


def _least(
    way: Workshop,
    elements: set[str],
    ways: Ways,
    placed: dict[str, Placed],
    limits: Limits,
    stop: Callable[[], bool],
) -> float:
    """Return the least number of changes among the operations of `elements` in one way of doing a part of the job."""
    if stop() or len(way.problem.tasks) > MOST_TASKS:
        return 0.0
    problem = _counting(way.problem, elements, ways)
    others = sum(element_of(task.key) not in elements for task in problem.tasks)
    hint = [replace(placed[t.key], task=t.index) for t in problem.tasks if t.key in placed]
    found = solve_exactly(whole_scope(make_workshop(problem)), Aim.CHANGE, limits, stop, hint)
    return max(0.0, (found.bound or 0.0) - others)


def _counting(problem: Problem, elements: set[str], ways: Ways) -> Problem:
    """Return the problem in which all but the operations of `elements` change anyhow and none of theirs vanished."""
    keys = {task.key for task in problem.tasks}
    issued = ways.issued.visits if ways.issued else {}
    vanished = sum(element_of(key) in elements and key not in keys for key in issued)
    tasks = tuple(task if element_of(task.key) in elements else replace(task, issued=None) for task in problem.tasks)
    return replace(problem, tasks=tasks, vanished=vanished)
