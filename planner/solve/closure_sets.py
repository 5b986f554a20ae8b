"""For any set of closures, the earliest that a plan in them could finish: each element laid alone, in all its ways.

One problem a way is made once; sets then differ only in what may be used while laying, so that thousands of sets
cost little. The argument is that of `bounds.finish_bound`: what has no place alone has none in company.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from planner.model import Job, Plan
from planner.network.options import NOTHING_CHOSEN
from planner.problem.issued import Issued
from planner.problem.parts import Placed, Problem
from planner.solve.bounds import loose_finish
from planner.solve.elements import elements_needed
from planner.solve.exactness import is_exact
from planner.solve.options import Ways
from planner.solve.place import Stuck
from planner.solve.schedule import Workshop, lay_with, needs_of
from planner.weather.job_weather import JobWeather

NEVER = 1 << 60


@dataclass
class _Part:
    """An element, or several tied together, with what they wait for: one workshop a way of doing it."""

    ways: tuple[Workshop, ...]
    among: frozenset[int]
    known: dict[frozenset[int], int] = field(default_factory=dict)

    def earliest(self, allowed: frozenset[int]) -> int:
        ours = allowed & self.among
        if ours not in self.known:
            self.known[ours] = min(_earliest(workshop, ours) for workshop in self.ways)
        return self.known[ours]


class ClosureSets:
    """Lower bounds on the finish by set of closures, for one job in one weather.

    names: the closures that may be used and leave time for work, by start. operations: how many there are to place.
    issued: (base, now, begun) as of `solve_job`, where something is done. An element with more ways of being done
    than can be tried is left out of the figure.
    """

    def __init__(self, job: Job, weather: JobWeather, issued: tuple[Plan, int, frozenset[str]] | None = None) -> None:
        self._ways = Ways(job, weather, None if issued is None else Issued(*issued))
        whole = self._ways.workshop()
        self.names: tuple[str, ...] = tuple(closure.id for closure in whole.problem.closures)
        self.operations = len(whole.problem.tasks)
        self._place = {name: place for place, name in enumerate(self.names)}
        self._parts = tuple(self._parts_of(whole))

    def earliest(self, allowed: frozenset[str]) -> int | None:
        """Return a slot before which no plan in `allowed` closures finishes; None where there is no plan."""
        places = frozenset(self._place[name] for name in allowed if name in self._place)
        worst = 0
        for part in self._parts:
            worst = max(worst, part.earliest(places))
            if worst >= NEVER:
                return None
        return worst

    def _parts_of(self, whole: Workshop) -> Iterator[_Part]:
        seen: list[frozenset[str]] = []
        found = [elements_needed(whole.problem, unit.index) for unit in whole.problem.units]
        for elements in sorted(found, key=len, reverse=True):
            if any(elements <= larger for larger in seen):
                continue
            seen.append(elements)
            ways = tuple(workshop for _, workshop in self._ways.part_in_every_way(elements, NOTHING_CHOSEN))
            if ways:
                yield _Part(ways, frozenset().union(*(_closures(workshop.problem) for workshop in ways)))


def _earliest(workshop: Workshop, allowed: frozenset[int]) -> int:
    """Return the earliest finish of the longest unit alone; NEVER where one surely has no place."""
    problem = workshop.problem
    worst = 0
    for unit in problem.units:
        if not all(_has_closure(problem, task, allowed) for task in unit.tasks):
            return NEVER
        if is_exact(problem, unit.index):
            laid = _lay(workshop, unit.index, allowed)
            worst = max(worst, NEVER if laid is None else max(one.finish for one in laid))
        else:
            worst = max(worst, loose_finish(workshop, unit.tasks))
    return worst


def _lay(workshop: Workshop, unit: int, allowed: frozenset[int]) -> list[Placed] | None:
    placed: dict[int, Placed] = {}
    laid: list[Placed] | Stuck = []
    for one in (*needs_of(workshop.problem, unit), unit):
        laid = lay_with(workshop, one, placed, allowed)
        if isinstance(laid, Stuck):
            return None
        placed.update((task.task, task) for task in laid)
    return None if isinstance(laid, Stuck) else laid


def _has_closure(problem: Problem, task: int, allowed: frozenset[int]) -> bool:
    closures = problem.tasks[task].closures
    return closures is None or not allowed.isdisjoint(closures)


def _closures(problem: Problem) -> frozenset[int]:
    tasks = (task.closures or () for task in problem.tasks)
    return frozenset().union(*tasks, *(stretch.closures for stretch in problem.stretches))
