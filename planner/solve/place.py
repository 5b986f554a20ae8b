"""One unit's chain placed on what is free: the least fixed point of its gaps, stretches and plant holds.

Every task goes to its earliest place. Where that is after a gap has shut, the *forerunner's* lower bound is
pushed to the first end from which the gap still reaches, and the chain is laid again from there. Bounds
only rise, the arrays are monotone, so for a chain the result is the earliest there is, or none exists.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from planner.model.keys import element_of
from planner.problem import bits
from planner.problem.parts import HoldRule, Lag, Placed, Problem, StretchRule, Task, Unit
from planner.solve.earliest import Room, as_issued, earliest
from planner.solve.profile import Profile


@dataclass(frozen=True)
class Rules:
    """A unit's rules, sorted by the task at which they are looked at (positions in `unit.tasks`).

    held: by task, plant that a hold of its element has for it. competes: its tasks may want the same plant at
    the same time.
    """

    unit: Unit
    into: tuple[tuple[Lag, ...], ...]
    stretch_of: tuple[int | None, ...]
    stretches: tuple[StretchRule, ...]
    ends_stretch: tuple[tuple[int, ...], ...]
    ends_hold: tuple[tuple[HoldRule, ...], ...]
    held: tuple[frozenset[int], ...]
    competes: bool
    position: dict[int, int]


def rules_of(problem: Problem, unit: Unit) -> Rules:
    """Return the rules of one unit."""
    position = {task: place for place, task in enumerate(unit.tasks)}
    stretches = tuple(stretch for stretch in problem.stretches if stretch.members[0] in position)
    holds = tuple(hold for hold in problem.holds if hold.first in position)
    spot = [None] * len(unit.tasks)
    stretch_of: list[int | None] = list(spot)
    for index, stretch in enumerate(stretches):
        for member in stretch.members:
            stretch_of[position[member]] = index
    held: list[frozenset[int]] = [frozenset() for _ in unit.tasks]
    for hold in holds:
        for place in range(position[hold.first], position[hold.last] + 1):
            if _element(problem, unit.tasks[place]) == _element(problem, hold.first):
                held[place] |= {hold.plant}
    return Rules(
        unit=unit,
        into=tuple(tuple(lag for lag in problem.lags_of[task] if lag.before == task) for task in unit.tasks),
        stretch_of=tuple(stretch_of),
        stretches=stretches,
        ends_stretch=tuple(
            tuple(i for i, s in enumerate(stretches) if _last(s.members, position) == place)
            for place in range(len(unit.tasks))
        ),
        ends_hold=tuple(tuple(hold for hold in holds if hold.last == task) for task in unit.tasks),
        held=tuple(held),
        competes=bool(holds) or not unit.chain,
        position=position,
    )


def _element(problem: Problem, task: int) -> str:
    return element_of(problem.tasks[task].key)


def _last(members: Iterable[int], position: dict[int, int]) -> int:
    return max(position[member] for member in members)


@dataclass(frozen=True)
class Stuck:
    """No place was found: the task at which it came to light."""

    task: int


@dataclass
class _Laying:
    """One attempt: lower bounds only rise, each stretch's choice of closure only moves on."""

    problem: Problem
    rules: Rules
    room: Room
    elsewhere: dict[int, Placed]
    fixed: tuple[int, ...] | None
    low: list[int] = field(init=False)
    choice: list[int] = field(init=False)
    candidates: list[tuple[int, ...]] = field(init=False)
    done: list[Placed] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.low = [0] * len(self.rules.unit.tasks)
        self.choice = [0] * len(self.rules.stretches)
        self.candidates = [self._candidates(index) for index in range(len(self.rules.stretches))]

    def _candidates(self, stretch: int) -> tuple[int, ...]:
        if self.fixed is not None:
            return (self.fixed[stretch],)
        return tuple(c for c in self.rules.stretches[stretch].closures if c in self.room.allowed)

    def run(self) -> list[Placed] | Stuck:
        tasks = self.rules.unit.tasks
        while len(self.done) < len(tasks):
            place = len(self.done)
            if not self._lay(place):
                return Stuck(tasks[place])
        return self.done

    def _lay(self, place: int) -> bool:
        """Lay the task at `place`, or step back to where something must move; False when nothing can."""
        task = self.problem.tasks[self.rules.unit.tasks[place]]
        stretch = self.rules.stretch_of[place]
        closure = None
        if stretch is not None:
            if self.choice[stretch] >= len(self.candidates[stretch]):
                return False
            closure = self.candidates[stretch][self.choice[stretch]]
        placed = self._place_for(task, self._lowest(place, task), closure, self._plant(place, task))
        if placed is None or (task.latest is not None and placed.start > task.latest):
            return stretch is not None and self._next_closure(stretch)
        return self._accept(place, placed)

    def _place_for(self, task: Task, low: int, closure: int | None, plant: list[list[int]]) -> Placed | None:
        own = self._own(task)
        if task.issued is None or self.rules.unit.index not in self.room.kept:
            return earliest(self.room, task, low, closure, own, plant)
        stays = as_issued(self.room, task, low, closure, own, plant)
        return stays or earliest(self.room, task, max(low, task.issued.start), closure, own, plant)

    def _accept(self, place: int, placed: Placed) -> bool:
        for lag in self.rules.into[place]:
            if lag.shuts is not None:
                late = self._push_for(lag, placed)
                if late is not None:
                    return late
        self.done.append(placed)
        for stretch in self.rules.ends_stretch[place]:
            if not self._fit_in_time(stretch):
                return self._next_closure(stretch)
        self._fit_holds(place)
        return True

    def _anchor(self, lag: Lag) -> int:
        before = self._find(lag.after)
        return before.start if lag.from_start else before.finish

    def _find(self, task: int) -> Placed:
        place = self.rules.position.get(task)
        return self.elsewhere[task] if place is None else self.done[place]

    def _lowest(self, place: int, task: Task) -> int:
        low = self.low[place]
        for lag in self.rules.into[place]:
            anchor = self._anchor(lag)
            opens = anchor if lag.opens is None else lag.opens[anchor]
            low = max(low, opens - task.length if lag.to_finish and not task.splittable else opens)
        return low

    def _push_for(self, lag: Lag, placed: Placed) -> bool | None:
        """Return None if the gap is still open, else whether its forerunner could be pushed."""
        value = placed.finish if lag.to_finish else placed.start
        shuts = lag.shuts or []
        if value <= shuts[self._anchor(lag)]:
            return None
        reaches = bisect_left(shuts, value)
        place = self.rules.position.get(lag.after)
        if reaches >= len(shuts) or place is None:
            return False
        before = self.done[place]
        task = self.problem.tasks[before.task]
        back = 0 if lag.from_start else task.length
        jump = before.start + 1 if task.splittable else reaches - back
        self._step_back(place, max(before.start + 1, jump))
        return True

    def _step_back(self, place: int, low: int) -> None:
        self.low[place] = max(self.low[place], low)
        del self.done[place:]

    def _next_closure(self, stretch: int) -> bool:
        self.choice[stretch] += 1
        if self.choice[stretch] >= len(self.candidates[stretch]):
            return False
        first = self.rules.position[self.rules.stretches[stretch].members[0]]
        del self.done[first:]
        return True

    def _fit_in_time(self, stretch: int) -> bool:
        rule = self.rules.stretches[stretch]
        closure = self.problem.closures[self.candidates[stretch][self.choice[stretch]]]
        return all(opens[self._find(task).finish] <= closure.finish for task, opens in rule.fits)

    def _hold_span(self, hold: HoldRule) -> tuple[int, int]:
        return self._find(hold.first).start, self._find(hold.last).finish

    def _fit_holds(self, place: int) -> None:
        """Find a unit for each hold that ends here, or move the first hold that has none past what is in its way."""
        if not self.rules.ends_hold[place]:
            return
        plant = booked_plant(self.problem, self.rules, self.room.profile.plant, self.done[:-1])
        for hold in self.rules.ends_hold[place]:
            needed = bits.span(*self._hold_span(hold))
            units = plant[hold.plant]
            if all(busy & needed for busy in units):
                self._push_hold(hold, units, needed)
                return
            _book(units, needed)

    def _push_hold(self, hold: HoldRule, units: Iterable[int], needed: int) -> None:
        """Move the start of a hold past the booking in its way, on the unit that frees first."""
        freed = []
        for busy in units:
            clash = bits.first_from(busy & needed, 0)
            freed.append(0 if clash is None else bits.end_of_run(busy, clash))
        first = self.rules.position[hold.first]
        self._step_back(first, max(min(freed), self.done[first].start + 1))

    def _plant(self, place: int, task: Task) -> list[list[int]]:
        """Return the busy slots of the units of each plant that the task must find for itself."""
        wanted = [plant for plant in task.plant if plant not in self.rules.held[place]]
        if not wanted:
            return []
        bookings = self._bookings()
        return [bookings[plant] for plant in wanted]

    def _bookings(self) -> list[list[int]]:
        """Return all plant as booked by the profile and, where they could compete, by this unit so far."""
        if not self.rules.competes:
            return self.room.profile.plant
        return booked_plant(self.problem, self.rules, self.room.profile.plant, self.done)

    def _own(self, task: Task) -> dict[int, int]:
        if self.rules.unit.chain:
            return {}
        own: dict[int, int] = {}
        for placed in self.done:
            other = self.problem.tasks[placed.task]
            gang = self.problem.gangs[placed.gang]
            move = 0 if other.structure == task.structure else gang.move
            for visit in placed.visits:
                busy = bits.span(max(0, visit.start - move), visit.finish + move)
                own[placed.gang] = own.get(placed.gang, 0) | busy
        return own


def place_unit(
    problem: Problem,
    rules: Rules,
    room: Room,
    elsewhere: dict[int, Placed],
    fixed: tuple[int, ...] | None = None,
) -> list[Placed] | Stuck:
    """Return the earliest places of the unit's tasks, or the task at which it got stuck. Books nothing.

    Each exposed stretch takes the first closure in which it works, or the one that `fixed` names for it.
    """
    return _Laying(problem, rules, room, elsewhere, fixed).run()


def book_unit(problem: Problem, rules: Rules, profile: Profile, placed: Sequence[Placed]) -> None:
    """Book a placed unit, its tasks in the unit's order: gangs, plant, and the plant that its holds tie up."""
    for one in placed:
        profile.book(one)
    profile.plant = booked_plant(problem, rules, profile.plant, placed)


def booked(problem: Problem, rules_of_units: Iterable[Rules], placed: Mapping[int, Placed]) -> Profile:
    """Return a profile in which the units of these rules are booked, whose tasks all have places already."""
    profile = Profile(problem)
    busy: list[tuple[int, int, int]] = []
    doing: list[Placed] = []
    for rules in rules_of_units:
        for place, index in enumerate(rules.unit.tasks):
            one = placed[index]
            doing.append(one)
            own = [kind for kind in problem.tasks[index].plant if kind not in rules.held[place]]
            busy += [(visit.start, visit.finish, kind) for kind in own for visit in one.visits]
            busy += [(placed[hold.first].start, one.finish, hold.plant) for hold in rules.ends_hold[place]]
    profile.book_all(doing)
    for start, finish, kind in sorted(busy):
        _book(profile.plant[kind], bits.span(start, finish))
    return profile


def booked_plant(
    problem: Problem, rules: Rules, plant: Sequence[Sequence[int]], placed: Sequence[Placed]
) -> list[list[int]]:
    """Return `plant` with the unit's first tasks, as far as `placed`, booked on top, and the holds they end."""
    units = [list(busy) for busy in plant]
    for place, one in enumerate(placed):
        for kind in problem.tasks[one.task].plant:
            if kind not in rules.held[place]:
                for visit in one.visits:
                    _book(units[kind], bits.span(visit.start, visit.finish))
        for hold in rules.ends_hold[place]:
            first = placed[rules.position[hold.first]]
            _book(units[hold.plant], bits.span(first.start, one.finish))
    return units


def _book(units: list[int], needed: int) -> None:
    free = next(index for index, busy in enumerate(units) if not busy & needed)
    units[free] |= needed
