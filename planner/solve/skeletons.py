"""Schedules built about one part of a job: its units placed exactly by themselves, all others laid in around them.

Laying units one after the other fills closures as they come. Where several units share few of them, one that goes
late holds the finish, and no few units taken out and laid again bring it forward. Alone, with the gangs that mostly
do such work, these units are found a place by a given slot in seconds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import networkx as nx

from planner.problem.parts import Placed, Problem, Task
from planner.solve.exact import Limits, Verdict, find_any
from planner.solve.exact_bounds import in_whole, only
from planner.solve.exact_scope import whole_scope
from planner.solve.schedule import Schedule, Workshop, end_alone, lay_around, make_workshop

MOST_TASKS = 200
"""Tasks in a part: more were not placed in a minute."""
FIRST_SHARE, LEAST_SHARE = 0.7, 0.05
NEARER, FURTHER = 0.7, 1.3
"""How far above the bound a part aims [share of the way to the best plan], and how what it finds changes that."""


@dataclass(frozen=True)
class Crowd:
    """Units, and the gangs that do most of their work."""

    units: frozenset[int]
    gangs: frozenset[int]


def crowds(problem: Problem, schedule: Schedule) -> list[Crowd]:
    """Return the units parted by the gangs that work on them (greedy modularity, Clauset et al. 2004)."""
    shared = nx.Graph()
    for unit in problem.units:
        for task in unit.tasks:
            one = schedule.placed[task]
            slots = sum(visit.finish - visit.start for visit in one.visits)
            if not problem.tasks[task].any_time:
                ends = ("unit", unit.index), ("gang", one.gang)
                known = shared.get_edge_data(*ends, default={"weight": 0})["weight"]
                shared.add_edge(*ends, weight=known + slots)
    found = nx.community.greedy_modularity_communities(shared, weight="weight") if shared.edges else []
    return [
        Crowd(
            frozenset(index for kind, index in community if kind == "unit"),
            frozenset(index for kind, index in community if kind == "gang"),
        )
        for community in found
    ]


class Skeletons:
    """Makes one such schedule after another of one problem, a crowd in turn."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._asked = 0
        self._shares: dict[int, float] = {}

    def next(self, best: Schedule, floor: float, limits: Limits, stop: Callable[[], bool]) -> Schedule | None:
        """Return a schedule, be it worse than `best`, in which one crowd ends sooner; None where none came."""
        problem = self._workshop.problem
        few = [crowd for crowd in crowds(problem, best) if self._is_part(crowd)]
        if not few:
            return None
        place = self._asked % len(few)
        self._asked += 1
        share = self._shares.get(place, FIRST_SHARE)
        latest = int(floor + (best.finish - 1 - floor) * share)
        laid = self._of(few[place], latest, best, limits, stop)
        changed = share * (FURTHER if laid is None else NEARER)
        self._shares[place] = min(1.0, max(LEAST_SHARE, changed))
        return laid

    def _is_part(self, crowd: Crowd) -> bool:
        """Say whether a crowd is small enough, is not all there is, and can be laid by itself."""
        units = self._workshop.problem.units
        tasks = sum(len(units[unit].tasks) for unit in crowd.units)
        alone = all(crowd.units.issuperset(units[unit].needs) for unit in crowd.units)
        return alone and 0 < tasks <= MOST_TASKS and len(crowd.units) < len(units)

    def _of(
        self, crowd: Crowd, latest: int, best: Schedule, limits: Limits, stop: Callable[[], bool]
    ) -> Schedule | None:
        part = make_workshop(with_own_gangs(only(self._workshop.problem, crowd.units), crowd.gangs))
        found = find_any(whole_scope(part, latest), limits, stop, with_pools=True)
        if found.verdict is not Verdict.BETTER or found.placed is None:
            return None
        return self._around(in_whole(self._workshop.problem, crowd.units, found.placed), crowd, best)

    def _around(self, placed: dict[int, Placed], crowd: Crowd, best: Schedule) -> Schedule | None:
        """Return a schedule in which all other units are laid around those placed: as in `best`, or hardest first."""
        workshop = self._workshop
        units = sorted(crowd.units, key=lambda unit: placed[workshop.problem.units[unit].tasks[0]].start)
        others = [unit for unit in best.choice.order if unit not in crowd.units]
        hardest = sorted(others, key=lambda unit: -(end_alone(workshop, unit) or 0))
        laid = [lay_around(workshop, units, placed, order) for order in (others, hardest)]
        return min((one for one in laid if isinstance(one, Schedule)), key=lambda one: one.finish, default=None)


def with_own_gangs(problem: Problem, gangs: frozenset[int]) -> Problem:
    """Return the problem with each task that these gangs can do left to them: a restriction."""

    def own(task: Task) -> Task:
        few = tuple(gang for gang in task.gangs if gang in gangs)
        return replace(task, gangs=few) if few and task.issued is None else task

    return replace(problem, tasks=tuple(own(task) for task in problem.tasks))
