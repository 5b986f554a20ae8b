"""Some units taken out of a schedule and laid again, the rest left where it is: far quicker than laying all anew."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import replace

from planner.solve.place import Stuck, booked
from planner.solve.schedule import (
    Blocked,
    Schedule,
    Workshop,
    end_alone,
    ends_of,
    in_order,
    lay_alone,
    lay_into,
)

FEWEST, MOST = 2, 9
"""Units taken out at a time."""
LAST_ONES = 12
MEAN_SHARE = 0.16
"""How much the mean finish counts beside the last ones: enough to tell schedules apart that end alike."""


class Renewal:
    """Draws units to take out and lays them again; the same draws give the same schedules."""

    def __init__(self, workshop: Workshop, draw: random.Random) -> None:
        self._workshop, self._draw = workshop, draw
        units = workshop.problem.units
        self._unit_of = {task: unit.index for unit in units for task in unit.tasks}
        self._waiting: list[list[int]] = [[] for _ in units]
        for unit in units:
            for need in unit.needs:
                self._waiting[need].append(unit.index)

    def of(self, schedule: Schedule) -> Schedule | Blocked:
        """Return `schedule` with some units laid again, or where one of them found no place."""
        ends = ends_of(self._workshop.problem, schedule.placed)
        out = self._with_waiting(self._drawn(schedule, ends))
        return renewed(self._workshop, schedule, self._in_order(out, ends))

    def _drawn(self, schedule: Schedule, ends: Sequence[int]) -> list[int]:
        """Draw units: mostly one that ends late, and others at work in the same days or by the same gangs."""
        count = self._draw.randint(FEWEST, MOST)
        late = sorted(range(len(ends)), key=lambda unit: -ends[unit])
        first = late[int(len(late) * self._draw.random() ** 3)]
        if self._draw.random() < 0.3:
            others = self._draw.sample(range(len(ends)), min(count, len(ends)))
        else:
            others = self._rivals(schedule, first, count)
        return [first, *others]

    def _rivals(self, schedule: Schedule, unit: int, count: int) -> list[int]:
        """Draw units that a task's gangs work on between where it could be, were it alone, and where it is."""
        problem, draw = self._workshop.problem, self._draw
        place = draw.randrange(len(problem.units[unit].tasks))
        task = problem.units[unit].tasks[place]
        here, alone = schedule.placed[task].start, lay_alone(self._workshop, unit)
        soonest = here if isinstance(alone, Stuck) else min(here, alone[place].start)
        moment = soonest + (here - soonest) * draw.random()
        near = sorted(
            (one for one in schedule.placed if one.gang in problem.tasks[task].gangs),
            key=lambda one: abs(one.start - moment) * (0.5 + draw.random()),
        )
        found = dict.fromkeys(self._unit_of[one.task] for one in near)
        return [other for other in found if other != unit][:count]

    def _with_waiting(self, units: Iterable[int]) -> list[int]:
        """Return the units, and all that wait for one of them."""
        found = dict.fromkeys(units)
        front = list(found)
        while front:
            front = [later for unit in front for later in self._waiting[unit] if later not in found]
            found.update(dict.fromkeys(front))
        return list(found)

    def _in_order(self, units: list[int], ends: Sequence[int]) -> list[int]:
        """Return the units in an order to lay them: what ended last first, what takes longest first, or by lot."""
        draw = self._draw.random()
        if draw < 0.4:
            return sorted(units, key=lambda unit: -ends[unit])
        if draw < 0.7:
            return sorted(
                units, key=lambda unit: -(end_alone(self._workshop, unit) or 0) * (0.8 + 0.4 * self._draw.random())
            )
        self._draw.shuffle(units)
        return units


def renewed(workshop: Workshop, schedule: Schedule, out: Sequence[int]) -> Schedule | Blocked:
    """Return `schedule` with the units `out` laid again in that order, each after those that it needs."""
    problem, choice = workshop.problem, schedule.choice
    gone = set(out)
    kept = [unit for unit in choice.order if unit not in gone]
    order = in_order(problem, [*kept, *out])
    placed = {task: schedule.placed[task] for unit in kept for task in problem.units[unit].tasks}
    profile = booked(problem, (workshop.rules[unit] for unit in kept), placed)
    again = (unit for unit in order if unit in gone)
    return lay_into(workshop, profile, replace(choice, order=order), again, placed)


def lateness(ends: Sequence[int]) -> float:
    """Return one figure for the units' finishes in which the last counts most, each before it half as much."""
    late = sorted(ends, reverse=True)
    tail = sum(end * 0.5**place for place, end in enumerate(late[:LAST_ONES]))
    return tail + MEAN_SHARE * sum(late) / len(late)
