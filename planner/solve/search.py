"""A first schedule by trying orders, then better ones by moving one unit, closure or gang at a time."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from planner.model import Aim
from planner.solve.neighbourhoods import Parts
from planner.solve.renewal import Renewal, lateness
from planner.solve.schedule import (
    Blocked,
    Caps,
    Choice,
    Schedule,
    Workshop,
    changed_alone,
    end_alone,
    ends_of,
    excess,
    in_order,
    lay_out,
    worth,
)

FIRST_TRIES = 400
"""Orders tried before the search for a first schedule gives up."""
TASKS_LAID_FIRST = 60_000
"""Tasks laid in orders of all units before the first part is searched exactly."""
MOST_TRIED_FIRST = 200
"""Orders tried before that at the most."""
FEW_UNITS = 20
"""Jobs of so many units are searched by whole orders; in longer ones some units are laid again at a time."""
RENEWALS_FIRST, RENEWALS_BETWEEN = 800, 150
"""The same as the tasks below for jobs in which units are laid again."""
RENEWED = 0.9
TASKS_LAID_BETWEEN = 1_500
"""Tasks laid in orders between two parts that are searched exactly."""
WORK_ON_PART = 0.6
"""CP-SAT's deterministic time for one part: a second or so."""
WORK_ON_GROUP = 20.0
"""The same for one group of units that share closures."""
WORK_ON_WHOLE = 3.0
"""The same for the whole job at once."""
MOST_WHOLE, MOST_CHANGED = 60, 160
"""Tasks in a job that is searched as a whole first; the second for the least change, which is easier."""
WORK_ON_FLOOR = WORK_ON_SKELETON = 4.0
FLOOR_EVERY, SKELETON_EVERY = 8, 4
"""Parts searched between two parts that are searched for a bound, and between two new schedules about one part."""


class SearchListener:
    """Hears of the search; does nothing by default."""

    def on_better(self, schedule: Schedule, tried: int) -> None:
        """Hear of a schedule better than all before."""

    def on_trial(self, tried: int) -> None:
        """Hear that one more order was tried."""


@dataclass
class Search:
    """One search with one seed: the same seed and the same number of trials give the same schedule."""

    workshop: Workshop
    aim: Aim
    seed: int
    stop: Callable[[], bool]
    listener: SearchListener = field(default_factory=SearchListener)
    caps: Caps = ()
    """Aims that come first, with what their figures may not exceed."""
    best: Schedule | None = None
    blocked: Blocked | None = None
    tried: int = 0
    bettered_at: int = 0
    floor: float = 0.0
    """No schedule of this problem has a lower figure for the aim, as far as the search has shown."""

    def __post_init__(self) -> None:
        self._random = random.Random(self.seed)
        self._parts: Parts | None = None
        self._steps = 0
        self._keeps = self.aim is Aim.CHANGE or (self.aim is Aim.COST and self.workshop.problem.moved_cost > 0)
        renews = self.aim is Aim.FINISH and len(self.workshop.problem.units) > FEW_UNITS
        self._renewal = Renewal(self.workshop, self._random) if renews else None
        orders = min(MOST_TRIED_FIRST, TASKS_LAID_FIRST // max(1, len(self.workshop.problem.tasks)))
        self._part_due = RENEWALS_FIRST if renews else orders

    def first(self, tries: int = FIRST_TRIES) -> Schedule | None:
        """Find a first schedule: hardest units first; a unit that finds no place moves to the front."""
        order = in_order(self.workshop.problem, self._hardest_first())
        plain = Choice(order, self.workshop.all_closures, self.workshop.all_gangs)
        choices = [self._as_issued(plain), plain] if self._keeps else [plain]
        for number in range(tries):
            place = number % len(choices)
            laid = self._try(choices[place])
            if isinstance(laid, Schedule):
                self._keep(laid)
                return laid
            self.blocked = laid
            if self.stop():
                return None
            choices[place] = self._mended(choices[place], laid.unit)
        return None

    def _mended(self, choice: Choice, unit: int) -> Choice:
        """Return the choice with a unit that found no place further forward; at the front it need not stay."""
        loosened = choice.kept - {unit} if choice.order[0] == unit else choice.kept
        return replace(choice, order=self._moved_forward(choice.order, unit), kept=loosened)

    def _as_issued(self, choice: Choice) -> Choice:
        """Return the choice that changes least: every unit kept, those first that can stay as they are."""
        problem, units = self.workshop.problem, self.workshop.problem.units
        every = frozenset(unit.index for unit in units)
        alone = {unit: changed_alone(self.workshop, unit) for unit in every}
        placed = [[problem.tasks[task].issued for task in unit.tasks] for unit in units]
        starts = [min((one.start for one in some if one is not None), default=0) for some in placed]
        order = sorted(every, key=lambda unit: (alone[unit], starts[unit], unit))
        return replace(choice, order=in_order(problem, order), kept=every)

    def improve(self, good_enough: Callable[[Schedule], bool]) -> None:
        """Look for better schedules until told to stop or one is `good_enough`.

        Orders are tried first; then orders and parts searched exactly take turns.
        """
        if self.best is None:
            return
        current = self.best
        while not self.stop() and not good_enough(self.best):
            if self.tried >= self._part_due:
                current = self._search_part(current)
                continue
            laid = self._renewed(current) or self._try(self._neighbour(current))
            if isinstance(laid, Schedule):
                if self._worth(laid) < self._worth(self.best):
                    self._keep(laid)
                if self._accepts(current, laid):
                    current = laid
            if self._random.random() < 0.002:
                current = self.best

    def _renewed(self, current: Schedule) -> Schedule | Blocked | None:
        """Lay some units again; None where a whole order is to be tried instead."""
        if self._renewal is None or self._random.random() >= RENEWED:
            return None
        self.tried += 1
        self.listener.on_trial(self.tried)
        return self._renewal.of(current)

    def _search_part(self, current: Schedule) -> Schedule:
        """Search a part of the best schedule exactly; return the schedule from which orders go on."""
        assert self.best is not None
        if self._parts is None:
            self._parts = Parts(self.workshop, self.aim, self._random, self.caps)
        orders = max(1, TASKS_LAID_BETWEEN // len(self.workshop.problem.tasks))
        self._part_due = self.tried + 1 + (orders if self._renewal is None else RENEWALS_BETWEEN)
        self.tried += 1
        self.listener.on_trial(self.tried)
        if self._renewal is not None and self._steps % SKELETON_EVERY == 2:
            self._steps += 1
            return self._about_part(self._parts, current)
        found = self._next_part(self._parts, self.best)
        if found is None:
            return current
        if self._worth(found) < self._worth(self.best):
            self._keep(found)
        else:
            self.best = found
            return found if self._renewal is None else current
        return found

    def _about_part(self, parts: Parts, current: Schedule) -> Schedule:
        """Return a schedule made anew about one part, from which orders go on though it may be worse."""
        assert self.best is not None
        made = parts.about_part(self.best, self.floor, WORK_ON_SKELETON, self.stop)
        if made is None:
            return current
        if self._worth(made) < self._worth(self.best):
            self._keep(made)
        return made

    def _next_part(self, parts: Parts, best: Schedule) -> Schedule | None:
        """Return what the next step finds: closures by groups at first, now and then a bound, else a part."""
        self._steps += 1
        if self._steps == 1 and len(best.placed) <= (MOST_CHANGED if self.aim is Aim.CHANGE else MOST_WHOLE):
            found, floor = parts.whole(best, WORK_ON_WHOLE, self.stop)
            self.floor = max(self.floor, floor or 0.0)
            return found
        if self._steps == 1 and self.aim is Aim.CLOSURES:
            return parts.by_groups(best, WORK_ON_GROUP, self.stop)
        if self._steps == 1 and self.aim is Aim.FINISH:
            self.floor = max(self.floor, parts.load(best, self.floor, self.stop))
        if self._steps % FLOOR_EVERY == 4 and self.aim is Aim.FINISH:
            self.floor = parts.floor(best, self.floor, WORK_ON_FLOOR, self.stop)
        return parts.better(best, WORK_ON_PART, self.stop)

    def _worth(self, schedule: Schedule) -> tuple[float, ...]:
        problem = self.workshop.problem
        return excess(problem, schedule, self.caps), *worth(problem, schedule, self.aim)

    def _guide(self, schedule: Schedule) -> float:
        """Return one figure that also falls when a unit other than the last finishes earlier."""
        over, first, second, *_ = self._worth(schedule)
        ends = ends_of(self.workshop.problem, schedule.placed)
        if self._renewal is not None:
            return over + lateness(ends) / 10.0
        spread = sum(end * end for end in ends) / (len(ends) * max(1, schedule.finish) ** 2)
        if self.aim is Aim.CHANGE:
            return first + second / 100.0 + over
        scale = {Aim.FINISH: 8.0, Aim.CLOSURES: 1.0, Aim.COST: 1000.0}[self.aim]
        return first / scale + spread + (second / 1000.0 if self.aim is Aim.CLOSURES else 0.0) + over

    def _accepts(self, current: Schedule, laid: Schedule) -> bool:
        rise = self._guide(laid) - self._guide(current)
        return rise <= 0 or self._random.random() < math.exp(-rise / 0.4)

    def _keep(self, schedule: Schedule) -> None:
        self.best = schedule
        self.bettered_at = self.tried
        self.listener.on_better(schedule, self.tried)

    def _try(self, choice: Choice) -> Schedule | Blocked:
        self.tried += 1
        self.listener.on_trial(self.tried)
        return lay_out(self.workshop, choice)

    def _hardest_first(self) -> list[int]:
        """Return the units that finish last when alone, first; those with a pin or an exposed stretch before all."""
        problem = self.workshop.problem
        exposed = {stretch.members[0] for stretch in problem.stretches}
        exposed |= {task.index for task in problem.tasks if task.latest is not None}

        def hardness(unit: int) -> tuple[bool, int]:
            finish = end_alone(self.workshop, unit)
            return not exposed.isdisjoint(problem.units[unit].tasks), problem.horizon if finish is None else finish

        return sorted(range(len(problem.units)), key=hardness, reverse=True)

    def _moved_forward(self, order: tuple[int, ...], unit: int) -> tuple[int, ...]:
        place = order.index(unit)
        target = 0 if self._random.random() < 0.5 else self._random.randrange(place + 1)
        rest = [one for one in order if one != unit]
        rest.insert(target, unit)
        if place == target and len(rest) > 1:
            self._random.shuffle(rest)
        return in_order(self.workshop.problem, rest)

    def _neighbour(self, schedule: Schedule) -> Choice:
        if self._keeps and self._random.random() < 0.4:
            unit = self._random.randrange(len(self.workshop.problem.units))
            return replace(schedule.choice, kept=schedule.choice.kept ^ {unit})
        draw = self._random.random()
        if draw < self._closure_share():
            return self._other_closures(schedule)
        if draw < 0.88:
            return self._other_order(schedule)
        gangs = list(schedule.choice.gang_order)
        self._random.shuffle(gangs)
        return replace(schedule.choice, gang_order=tuple(gangs))

    def _closure_share(self) -> float:
        return 0.15 if self.aim is Aim.FINISH else 0.45

    def _other_closures(self, schedule: Schedule) -> Choice:
        """Forbid one closure in use, or forbid all that are not and one more, or allow one again."""
        allowed = set(schedule.choice.allowed)
        banned = sorted(self.workshop.all_closures - allowed)
        used = sorted(schedule.closures)
        draw = self._random.random()
        if banned and draw < 0.3:
            allowed.add(self._random.choice(banned))
        elif used:
            if draw > 0.7:
                allowed = set(used)
            allowed.discard(self._random.choice(used))
        return replace(schedule.choice, allowed=frozenset(allowed))

    def _other_order(self, schedule: Schedule) -> Choice:
        """Move one unit, half the time the one that finishes last and to an earlier place."""
        order = list(schedule.choice.order)
        if self._random.random() < 0.5:
            ends = ends_of(self.workshop.problem, schedule.placed)
            last = max(range(len(order)), key=lambda place: ends[order[place]])
            unit = order.pop(last)
            order.insert(self._random.randrange(last + 1), unit)
        else:
            unit = order.pop(self._random.randrange(len(order)))
            order.insert(self._random.randrange(len(order) + 1), unit)
        return replace(schedule.choice, order=in_order(self.workshop.problem, order))
