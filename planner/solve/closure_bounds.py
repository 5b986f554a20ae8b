"""Which closures each unit needs at the least, and so how few, or how cheap, any plan's closures can be.

A unit that finds no place with a set of closures when it has the job to itself finds none in company either.
Its smallest sufficient sets are found by laying it; a plan's closures hold one such set of every unit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import reduce
from itertools import combinations

from planner.problem.parts import Problem, Task
from planner.solve.exactness import is_exact
from planner.solve.heed import heeded
from planner.solve.place import Stuck
from planner.solve.schedule import Workshop, lay_forerunners, lay_with

LARGEST_SET_LAID = 3
"""Sets of more closures than this are taken to be enough without laying them."""
MOST_CLOSURES_ENUMERATED = 16


@dataclass(frozen=True)
class Demand:
    """A plan's closures must hold one of `sets`, or more than `LARGEST_SET_LAID` of those in `among`."""

    sets: tuple[int, ...]
    among: int

    @property
    def beyond(self) -> int:
        """How many closures of `among` are taken to be enough."""
        return LARGEST_SET_LAID + 1

    def met_by(self, closures: int) -> bool:
        """Say whether a bit set of closures is enough."""
        if any(one & closures == one for one in self.sets):
            return True
        return (closures & self.among).bit_count() > LARGEST_SET_LAID


def closures_bound(workshop: Workshop) -> tuple[int, float]:
    """Return (fewest closures, least money for closures) that any plan can do with."""
    demands = tuple(demands_of(workshop))
    if not demands:
        return 0, 0.0
    closures = workshop.problem.closures
    wanted = reduce(lambda mask, demand: mask | demand.among, demands, 0)
    indices = [index for index in range(len(closures)) if wanted >> index & 1]
    if len(indices) > MOST_CLOSURES_ENUMERATED:
        return _apart(demands, workshop.problem)
    enough = [mask for mask in _subsets(indices) if all(demand.met_by(mask) for demand in demands)]
    if not enough:
        return 0, 0.0
    fewest = min(mask.bit_count() for mask in enough)
    money = min(sum(closures[index].cost for index in indices if mask >> index & 1) for mask in enough)
    return fewest, money


def closures_floor(
    parts: Iterable[tuple[Workshop, ...]], stop: Callable[[], bool] = lambda: False
) -> tuple[int, float]:
    """Return the same for a job given in parts, each in all ways of doing it, of which a plan takes one.

    HaltedError where it is told to stop.
    """
    ways = [[tuple(heeded(demands_of(workshop), stop)) for workshop in part] for part in parts]
    problem = next((workshop.problem for part in parts for workshop in part), None)
    wanted = reduce(lambda mask, demand: mask | demand.among, (d for part in ways for way in part for d in way), 0)
    indices = [index for index in range(wanted.bit_length()) if wanted >> index & 1]
    if problem is None or not indices:
        return 0, 0.0
    if len(indices) > MOST_CLOSURES_ENUMERATED:
        apart = [min(_apart(way, problem) for way in part) for part in ways]
        return max(count for count, _ in apart), max(money for _, money in apart)
    costs = [problem.closures[index].cost for index in indices]
    fewest, money = len(indices), sum(costs)
    for mask in heeded(_subsets(indices), stop):
        if all(any(all(demand.met_by(mask) for demand in way) for way in part) for part in ways):
            fewest = min(fewest, mask.bit_count())
            money = min(money, sum(cost for index, cost in zip(indices, costs, strict=True) if mask >> index & 1))
    return fewest, money


def _subsets(indices: list[int]) -> Iterable[int]:
    for number in range(1 << len(indices)):
        yield sum(1 << index for place, index in enumerate(indices) if number >> place & 1)


def demands_of(workshop: Workshop) -> Iterable[Demand]:
    """Yield what each unit asks of the closures of a plan."""
    for unit in range(len(workshop.problem.units)):
        among = _in_question(workshop.problem, unit)
        if among:
            exact = is_exact(workshop.problem, unit)
            yield from (_laid_demand(workshop, unit, among),) if exact else _task_demands(workshop, unit)


def _in_question(problem: Problem, unit: int) -> tuple[int, ...]:
    found: set[int] = set()
    tasks = problem.units[unit].tasks
    for index in tasks:
        found.update(problem.tasks[index].closures or ())
    for stretch in problem.stretches:
        if stretch.members[0] in tasks:
            found.update(stretch.closures)
    return tuple(sorted(found))


def _laid_demand(workshop: Workshop, unit: int, among: tuple[int, ...]) -> Demand:
    elsewhere = lay_forerunners(workshop, unit)
    enough: list[int] = []
    for size in range(min(LARGEST_SET_LAID, len(among)) + 1):
        for chosen in combinations(among, size):
            mask = _mask(chosen)
            if any(one & mask == one for one in enough):
                continue
            laid = None if elsewhere is None else lay_with(workshop, unit, elsewhere, frozenset(chosen))
            if laid is not None and not isinstance(laid, Stuck):
                enough.append(mask)
    return Demand(tuple(enough), _mask(among))


def _task_demands(workshop: Workshop, unit: int) -> Iterable[Demand]:
    """Yield one demand a task or stretch: any one closure in which it could lie at all."""
    problem = workshop.problem
    tasks = problem.units[unit].tasks
    for index in tasks:
        task = problem.tasks[index]
        if task.closures is not None:
            lie = [closure for closure in task.closures if _could_lie(workshop, task, closure)]
            yield Demand(tuple(1 << closure for closure in lie), _mask(lie))
    for stretch in problem.stretches:
        if stretch.members[0] in tasks:
            yield Demand(tuple(1 << closure for closure in stretch.closures), _mask(stretch.closures))


def _could_lie(workshop: Workshop, task: Task, closure: int) -> bool:
    if task.splittable:
        return any(work & workshop.masks.windows[closure] for work in workshop.masks.work[task.index])
    within = workshop.masks.within[task.index][closure]
    return any(starts & within for starts in workshop.masks.starts[task.index])


def _mask(closures: Iterable[int]) -> int:
    return sum(1 << closure for closure in closures)


def _apart(demands: Iterable[Demand], problem: Problem) -> tuple[int, float]:
    """Return the same by demands that share no closure: weaker, but quick for long lists."""
    taken = 0
    count, money = 0, 0.0
    for demand in sorted(demands, key=lambda one: one.among.bit_count()):
        if demand.among & taken:
            continue
        taken |= demand.among
        size = min((one.bit_count() for one in demand.sets), default=LARGEST_SET_LAID + 1)
        count += size
        cheapest = sorted(cost for i, cost in enumerate(c.cost for c in problem.closures) if demand.among >> i & 1)
        money += sum(cheapest[:size])
    return count, money
