"""Parts of a schedule worth searching exactly while the rest stays: by what ends last, days, gang or closure."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.model import Aim
from planner.problem.parts import Placed, Problem
from planner.solve.exact_scope import Scope
from planner.solve.load_bounds import finish_bound_by_load
from planner.solve.schedule import Caps, Schedule, Workshop, ends_of, excess, in_order, stands_otherwise, worth
from planner.units import SLOTS_PER_HOUR

if TYPE_CHECKING:
    from planner.solve.floors import Floors
    from planner.solve.skeletons import Skeletons

SLOTS_PER_DAY = 24 * SLOTS_PER_HOUR

FEWEST_TASKS, MOST_TASKS = 12.0, 120.0
PART_S = 600.0
"""Wall time for one part [s]: out of the way, since the work is limited and a stop is heeded."""


@dataclass
class Neighbourhoods:
    """Draws parts of about `size` tasks; the size grows where parts are solved at once and shrinks where not."""

    workshop: Workshop
    aim: Aim
    draw: random.Random
    size: float = 36.0
    caps: Caps = ()

    def next(self, schedule: Schedule) -> Scope:
        """Return the next part of `schedule` to search."""
        problem = self.workshop.problem
        kinds: list[Callable[[Schedule], Iterable[int]]] = [self._around_last, self._around_last, self._days]
        kinds += [self._gang, self._structure_or_any]
        if self.aim is Aim.CHANGE:
            kinds += [self._changed] * len(kinds)
        elif self.aim is not Aim.FINISH:
            kinds += [self._closures, self._closures]
        free = frozenset(self._cut_to_size(self.draw.choice(kinds)(schedule)))
        fixed = {placed.task: placed for placed in schedule.placed}
        latest = schedule.finish if self.aim is Aim.FINISH else latest_finish(problem, self.caps)
        return Scope(self.workshop, free, fixed, self.workshop.all_closures, latest)

    def learn(self, solved: bool) -> None:
        """Take note whether the last part was searched to its end."""
        self.size = min(MOST_TASKS, self.size * 1.08) if solved else max(FEWEST_TASKS, self.size * 0.92)

    def _cut_to_size(self, tasks: Iterable[int]) -> list[int]:
        return list(dict.fromkeys(tasks))[: max(2, int(self.size))]

    def _units(self, order: Iterable[int]) -> Iterable[int]:
        for unit in order:
            yield from self.workshop.problem.units[unit].tasks

    def _around_last(self, schedule: Schedule) -> Iterable[int]:
        """Free the units that end last, and others by lot that share a gang and days with them."""
        ends = ends_of(self.workshop.problem, schedule.placed)
        late = sorted(range(len(ends)), key=lambda unit: -ends[unit])
        first = late[: self.draw.choice((1, 1, 2, 3))]
        rest = [unit for unit in late if unit not in first]
        chosen = self.workshop.problem.units[first[0]].tasks
        gangs = {gang for task in chosen for gang in self.workshop.problem.tasks[task].gangs}
        weights = [self._kinship(schedule, unit, gangs) * (0.2 + self.draw.random()) for unit in rest]
        order = sorted(range(len(rest)), key=lambda place: -weights[place])
        return self._units([*first, *(rest[place] for place in order)])

    def _kinship(self, schedule: Schedule, unit: int, gangs: set[int]) -> float:
        return float(sum(schedule.placed[task].gang in gangs for task in self.workshop.problem.units[unit].tasks))

    def _days(self, schedule: Schedule) -> Iterable[int]:
        """Free everything that lies in some days in a row."""
        last = max(1, schedule.finish)
        centre = self.draw.randrange(last)
        tasks = sorted(schedule.placed, key=lambda one: abs((one.start + one.finish) // 2 - centre))
        return (one.task for one in tasks)

    def _gang(self, schedule: Schedule) -> Iterable[int]:
        """Free the units in which one gang has most to do, some by lot."""
        gang = self.draw.randrange(len(self.workshop.problem.gangs))
        units = range(len(self.workshop.problem.units))
        order = sorted(units, key=lambda unit: -self._kinship(schedule, unit, {gang}) * self.draw.random())
        return self._units(order)

    def _structure_or_any(self, schedule: Schedule) -> Iterable[int]:
        order = list(range(len(self.workshop.problem.units)))
        self.draw.shuffle(order)
        return self._units(order)

    def _changed(self, schedule: Schedule) -> Iterable[int]:
        """Free the units with operations that stand otherwise than issued, by lot, then others near in time."""
        problem = self.workshop.problem
        changed = [
            unit.index
            for unit in problem.units
            if any(stands_otherwise(problem.tasks[task], schedule.placed[task]) for task in unit.tasks)
        ]
        if not changed:
            return self._structure_or_any(schedule)
        self.draw.shuffle(changed)
        first = changed[: self.draw.choice((1, 2, 3))]
        starts = [schedule.placed[problem.units[unit].tasks[0]].start for unit in range(len(problem.units))]
        rest = [unit for unit in range(len(starts)) if unit not in first]
        rest.sort(key=lambda unit: abs(starts[unit] - starts[first[0]]) * (0.5 + self.draw.random()))
        return self._units([*first, *rest])

    def _closures(self, schedule: Schedule) -> Iterable[int]:
        """Free the units that lie in two or three of the closures in use."""
        used = sorted(schedule.closures)
        some = set(self.draw.sample(used, min(len(used), self.draw.choice((1, 2, 3)))))
        order = list(range(len(self.workshop.problem.units)))
        self.draw.shuffle(order)
        order.sort(key=lambda unit: not self._lies_in(schedule, unit, some))
        return self._units(order)

    def _lies_in(self, schedule: Schedule, unit: int, closures: set[int]) -> bool:
        tasks = self.workshop.problem.units[unit].tasks
        return any(visit.closure in closures for task in tasks for visit in schedule.placed[task].visits)


def latest_finish(problem: Problem, caps: Caps) -> int:
    """Return the slot by which everything must have ended where the finish comes first, else the horizon."""
    return min((round(most) for aim, most in caps if aim is Aim.FINISH), default=problem.horizon)


def with_part(problem: Problem, schedule: Schedule, part: Iterable[Placed]) -> Schedule:
    """Return the schedule with a part placed anew, and the order of units in which it could be built on."""
    placed = {one.task: one for one in schedule.placed}
    placed.update((one.task, one) for one in part)
    starts = [placed[unit.tasks[0]].start for unit in problem.units]
    order = in_order(problem, sorted(range(len(starts)), key=lambda unit: starts[unit]))
    return Schedule(tuple(placed[task] for task in sorted(placed)), replace(schedule.choice, order=order))


class Parts:
    """Searches one part of a schedule after another exactly, each for the same amount of work."""

    def __init__(self, workshop: Workshop, aim: Aim, draw: random.Random, caps: Caps = ()) -> None:
        self._workshop, self._aim, self._draw, self._caps = workshop, aim, draw, caps
        self._drawing = Neighbourhoods(workshop, aim, draw, caps=caps)
        self._floors: Floors | None = None
        self._skeletons: Skeletons | None = None

    def better(self, schedule: Schedule, work: float, stop: Callable[[], bool]) -> Schedule | None:
        """Return a schedule at least as good, with one part placed anew; None where that part has none.

        The first call loads CP-SAT.
        """
        from planner.solve.exact import Limits, Verdict, solve_exactly

        scope = self._drawing.next(schedule)
        limits = Limits(PART_S, work, seed=self._draw.randrange(1 << 30))
        found = solve_exactly(scope, self._aim, limits, stop, schedule.placed, smooth=True, caps=self._caps)
        if not stop():
            self._drawing.learn(found.verdict in (Verdict.BEST, Verdict.NONE))
        if found.placed is None:
            return None
        laid = with_part(self._workshop.problem, schedule, found.placed)
        return laid if self._value(laid) <= self._value(schedule) else None

    def whole(
        self, schedule: Schedule, work: float, stop: Callable[[], bool]
    ) -> tuple[Schedule | None, float | None]:
        """Search the whole job at once; return a better schedule, if found, and a bound that holds for all."""
        from planner.solve.exact import Limits, solve_exactly
        from planner.solve.exact_scope import whole_scope

        limits = Limits(PART_S, work, seed=self._draw.randrange(1 << 30))
        scope = whole_scope(self._workshop, latest_finish(self._workshop.problem, self._caps))
        found = solve_exactly(scope, self._aim, limits, stop, schedule.placed, caps=self._caps)
        if found.placed is None:
            return None, found.bound
        laid = with_part(self._workshop.problem, schedule, found.placed)
        return (laid if self._value(laid) <= self._value(schedule) else None), found.bound

    def by_groups(self, schedule: Schedule, work: float, stop: Callable[[], bool]) -> Schedule | None:
        """Return a schedule with few closures made group by group, if it is better."""
        from planner.solve.exact import Limits
        from planner.solve.exact_groups import by_groups

        limits = Limits(PART_S, work, seed=self._draw.randrange(1 << 30))
        laid = by_groups(self._workshop, schedule, limits, stop)
        return laid if laid is not None and self._value(laid) < self._value(schedule) else None

    def about_part(self, schedule: Schedule, floor: float, work: float, stop: Callable[[], bool]) -> Schedule | None:
        """Return a schedule, be it worse, made about one part of the job that was placed exactly by itself."""
        from planner.solve.exact import Limits
        from planner.solve.skeletons import Skeletons

        if self._skeletons is None:
            self._skeletons = Skeletons(self._workshop)
        return self._skeletons.next(schedule, floor, Limits(PART_S, work), stop)

    def floor(self, schedule: Schedule, floor: float, work: float, stop: Callable[[], bool]) -> float:
        """Return a bound on the finish, at least `floor`, by refuting that a part of the job ends in time."""
        from planner.solve.exact import Limits
        from planner.solve.floors import Floors

        limits, raised = Limits(PART_S, work), int(floor)
        if self._floors is None:
            self._floors = Floors(self._workshop)
        else:  # not at first, while plans still get better quickly
            raised = self._floors.raised_without_moves(schedule, raised, limits, stop)
        return self._floors.raised(schedule, raised, limits, stop)

    def load(self, schedule: Schedule, floor: float, stop: Callable[[], bool]) -> float:
        """Return a bound on the finish by the load of gangs and plant; `floor`: one that is known already."""
        return float(finish_bound_by_load(self._workshop, int(floor), schedule.finish, stop))

    def _value(self, schedule: Schedule) -> tuple[float, ...]:
        """Return the aim's figure, the sum of what the units' ends are, then the lesser aims."""
        problem = self._workshop.problem
        first, *rest = worth(problem, schedule, self._aim)
        over = excess(problem, schedule, self._caps)
        ends = sum(ends_of(problem, schedule.placed))
        return (over, first, *rest, ends) if self._aim is not Aim.FINISH else (over, first, ends, *rest)
