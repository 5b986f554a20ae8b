"""A first plan by exact search where no order of work gives one: in one way of choosing after the other.

Where closures are few and what is exposed fills them to the quarter of an hour, orders come upon a plan by luck only.
In longer jobs what is done on the road is searched alone, with all that it must wait for; the rest is laid around it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from time import monotonic

from planner.network.options import Chosen
from planner.problem.parts import Placed, Problem
from planner.solve.exact import Limits, Verdict, find_any
from planner.solve.exact_bounds import closure_groups, in_whole, only
from planner.solve.exact_scope import whole_scope
from planner.solve.options import Ways
from planner.solve.schedule import Blocked, Schedule, Workshop, lay_around, make_workshop, needs_of

MOST_TASKS = 150
"""Tasks in what is searched."""
ROUNDS = (0.3, 4.0)
"""CP-SAT's deterministic time for each way of choosing, at first and once all had their turn: where a plan is there
it is mostly found at once, and a way in which there is none may be looked through for long."""
MOST_WAYS, MOST_TWICE = 64, 8
ORDERS_AROUND = 40
"""Orders in which the rest is laid around what was searched."""


@dataclass(frozen=True)
class First:
    """A first schedule, done as `chosen` says."""

    chosen: Chosen
    schedule: Schedule


def first_exactly(ways: Ways, current: Chosen, seconds: float, stop: Callable[[], bool]) -> First | None:
    """Return a first schedule in `current` or another way of choosing; None where none was found in `seconds`."""
    until = monotonic() + seconds
    hopeful = list(islice(_each_once(ways, current), MOST_WAYS))
    for work in ROUNDS:
        still = []
        for chosen in hopeful:
            left = until - monotonic()
            if left <= 0 or stop():
                return None
            verdict, schedule = _scheduled(ways.workshop(chosen), left, work, stop)
            if schedule is not None:
                return First(chosen, schedule)
            if verdict is Verdict.UNKNOWN:
                still.append(chosen)
        hopeful = still[:MOST_TWICE]
    return None


def _each_once(ways: Ways, current: Chosen) -> Iterator[Chosen]:
    """Yield the ways of choosing: the current, some to begin with, then all where those are not too many."""
    seen: set[frozenset[tuple[str, str]]] = set()
    elements = [element.id for element in ways.job.elements]
    starts = ways.starts() if ways.options else iter(())
    for chosen in (current, *starts, *ways.combined(elements, MOST_WAYS)):
        key = frozenset(chosen.items())
        if key not in seen:
            seen.add(key)
            yield chosen


def _scheduled(
    workshop: Workshop, seconds: float, work: float, stop: Callable[[], bool]
) -> tuple[Verdict, Schedule | None]:
    problem = workshop.problem
    units = _searched(problem)
    if not units:
        return Verdict.NONE, None
    part = workshop if len(units) == len(problem.units) else make_workshop(only(problem, units))
    found = find_any(whole_scope(part), Limits(seconds, work), stop)
    if found.placed is None:
        return found.verdict, None
    return found.verdict, _around(workshop, units, in_whole(problem, units, found.placed))


def _searched(problem: Problem) -> list[int]:
    """Return the units to be searched: all, or those on the road with what they wait for; none if too many tasks."""
    every = [unit.index for unit in problem.units]
    if len(problem.tasks) <= MOST_TASKS:
        return every
    road = {unit for group in closure_groups(problem) for unit in group}
    units = sorted(road.union(*(needs_of(problem, unit) for unit in road)))
    return units if sum(len(problem.units[unit].tasks) for unit in units) <= MOST_TASKS else []


def _around(workshop: Workshop, units: Sequence[int], placed: dict[int, Placed]) -> Schedule | None:
    """Return the schedule with all other units laid around those placed; one that finds no place is laid first."""
    problem = workshop.problem
    rest = [unit.index for unit in problem.units if unit.index not in units]
    for _ in range(ORDERS_AROUND):
        laid = lay_around(workshop, units, placed, rest)
        if not isinstance(laid, Blocked):
            return laid
        rest.remove(laid.unit)
        rest.insert(0, laid.unit)
    return None
