"""What the exact model's literals say of a schedule: a hint must be complete, so each literal carries its meaning."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from planner.problem.parts import Lag, Placed

Bounds = tuple[int, int]
Meaning = Callable[[Mapping[int, Placed]], bool]
"""Whether a literal is true of a schedule, by task."""


def visits_closure(task: int, closure: int) -> Meaning:
    """Return whether the task's first visit lies in the closure."""
    return lambda known: known[task].visits[0].closure == closure


def starts_in(task: int, gang: int, slots: int) -> Meaning:
    """Return whether the gang does the task and it starts in one of `slots` (a bit set)."""
    return lambda known: known[task].gang == gang and bool(slots >> known[task].start & 1)


def visited_by(task: int, number: int, gang: int) -> Meaning:
    """Return whether the gang makes the task's visit of that number, from 0."""
    return lambda known: known[task].gang == gang and number < len(known[task].visits)


def runs_in(task: int, number: int, gang: int, closure: int | None, run: Bounds) -> Meaning:
    """Return whether that visit lies inside `run` and the closure."""

    def holds(known: Mapping[int, Placed]) -> bool:
        if not visited_by(task, number, gang)(known):
            return False
        visit = known[task].visits[number]
        return visit.closure == closure and run[0] <= visit.start and visit.finish <= run[1]

    return holds


def anchor_in(lag: Lag, slots: int) -> Meaning:
    """Return whether the lag's anchor is one of `slots` (a bit set)."""

    def holds(known: Mapping[int, Placed]) -> bool:
        anchor = known[lag.after].start if lag.from_start else known[lag.after].finish
        return bool(slots >> anchor & 1)

    return holds


def finishes_in(task: int, slots: int) -> Meaning:
    """Return whether the task's finish is one of `slots` (a bit set)."""
    return lambda known: bool(slots >> known[task].finish & 1)


def is_before(first: int, second: int) -> Meaning:
    """Return whether the first task starts no later than the second."""
    return lambda known: known[first].start <= known[second].start
