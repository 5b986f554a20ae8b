"""For any set of closures, the earliest that a plan in them could finish: each element laid alone, in all its ways.

One problem a way is made once; sets then differ only in what may be used while laying, so that thousands of sets
cost little. The argument is that of `bounds.finish_bound`: what has no place alone has none in company.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product
from math import prod

from planner.model import Job
from planner.network.options import OVERTIME, Option, options_of
from planner.problem.build import build_problem
from planner.problem.kept import Shared
from planner.problem.parts import Placed, Problem
from planner.solve.bounds import loose_finish
from planner.solve.exactness import is_exact
from planner.solve.place import Stuck
from planner.solve.schedule import Workshop, lay_with, make_workshop, needs_of
from planner.weather.job_weather import JobWeather

MOST_WAYS = 32
"""An element with more ways of being done than this is left out of the figure."""
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
    """

    def __init__(self, job: Job, weather: JobWeather) -> None:
        self._job, self._weather, self._shared = job, weather, Shared()
        self._options = options_of(job)
        whole = make_workshop(self._problem(job, {}))
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
        found = [_elements(whole.problem, unit.index) for unit in whole.problem.units]
        for elements in sorted(found, key=len, reverse=True):
            if any(elements <= larger for larger in seen):
                continue
            seen.append(elements)
            ways = tuple(self._ways(elements))
            if ways:
                yield _Part(ways, frozenset().union(*(_closures(workshop.problem) for workshop in ways)))

    def _ways(self, elements: frozenset[str]) -> Iterator[Workshop]:
        """Yield the elements' part of the job in every way of doing it, with all overtime; nothing if too many."""
        part = _only(self._job, elements)
        overtime = {option.key: option.choice for option in self._options if option.choice == OVERTIME}
        choices: dict[str, list[Option | None]] = {}
        for option in self._options:
            if option.element in elements:
                choices.setdefault(option.key, [None]).append(option)
        if prod(len(some) for some in choices.values()) > MOST_WAYS:
            return
        for way in product(*choices.values()):
            chosen = {option.key: option.choice for option in way if option is not None}
            yield make_workshop(self._problem(part, {**chosen, **overtime}))

    def _problem(self, job: Job, chosen: dict[str, str]) -> Problem:
        return build_problem(job, self._weather, chosen=chosen, shared=self._shared)


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


def _elements(problem: Problem, unit: int) -> frozenset[str]:
    units = (unit, *needs_of(problem, unit))
    return frozenset(problem.tasks[task].key.partition("/")[0] for one in units for task in problem.units[one].tasks)


def _only(job: Job, elements: frozenset[str]) -> Job:
    """Return the job of some elements, with the links between them."""
    links = ((link, {link.after.partition("/")[0], link.before.partition("/")[0]}) for link in job.links)
    return job.model_copy(
        update={
            "elements": tuple(element for element in job.elements if element.id in elements),
            "links": tuple(link for link, both in links if both <= elements),
        }
    )
