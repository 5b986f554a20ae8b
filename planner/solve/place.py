"""One unit's chain placed on what is free: the least fixed point of its gaps, stretches and plant holds.

Every task goes to its earliest place. Where that is after a gap has shut, the *forerunner's* lower bound is
pushed to the first end from which the gap still reaches, and the chain is laid again from there. Bounds
only rise, the arrays are monotone, so for a chain the result is the earliest there is, or none exists.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field

from planner.problem import bits
from planner.problem.parts import HoldRule, Lag, Placed, Problem, StretchRule, Task, Unit
from planner.solve.earliest import Room, earliest
from planner.solve.profile import Profile


@dataclass(frozen=True)
class Rules:
    """A unit's rules, sorted by the task at which they are looked at (positions in `unit.tasks`)."""

    unit: Unit
    into: tuple[tuple[Lag, ...], ...]
    stretch_of: tuple[int | None, ...]
    stretches: tuple[StretchRule, ...]
    ends_stretch: tuple[tuple[int, ...], ...]
    ends_hold: tuple[tuple[HoldRule, ...], ...]
    held: tuple[frozenset[int], ...]
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
            held[place] |= {hold.plant}
    return Rules(
        unit=unit,
        into=tuple(tuple(lag for lag in problem.lags if lag.before == task) for task in unit.tasks),
        stretch_of=tuple(stretch_of),
        stretches=stretches,
        ends_stretch=tuple(
            tuple(i for i, s in enumerate(stretches) if _last(s.members, position) == place)
            for place in range(len(unit.tasks))
        ),
        ends_hold=tuple(tuple(hold for hold in holds if hold.last == task) for task in unit.tasks),
        held=tuple(held),
        position=position,
    )


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
        placed = earliest(
            self.room, task, self._lowest(place, task), closure, self.rules.held[place], self._own(task)
        )
        if placed is None:
            return stretch is not None and self._next_closure(stretch)
        return self._accept(place, placed)

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
        return all(self._hold_fits(hold) for hold in self.rules.ends_hold[place]) or self._push_hold(place)

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

    def _hold_fits(self, hold: HoldRule) -> bool:
        needed = bits.span(*self._hold_span(hold))
        return any(not busy & needed for busy in self.room.profile.plant[hold.plant])

    def _push_hold(self, place: int) -> bool:
        """Move the start of a hold past the booking that is in its way on the unit that frees first."""
        hold = next(hold for hold in self.rules.ends_hold[place] if not self._hold_fits(hold))
        start, finish = self._hold_span(hold)
        needed = bits.span(start, finish)
        freed = []
        for busy in self.room.profile.plant[hold.plant]:
            clash = bits.first_from(busy & needed, start)
            freed.append(bits.end_of_run(busy, clash if clash is not None else start))
        first = self.rules.position[hold.first]
        self._step_back(first, max(min(freed), self.done[first].start + 1))
        return True

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


def book_unit(problem: Problem, rules: Rules, profile: Profile, placed: Iterable[Placed]) -> None:
    """Book a placed unit: gangs, plant, and the plant that its holds tie up."""
    found = {one.task: one for one in placed}
    for place, task in enumerate(rules.unit.tasks):
        profile.book(found[task], rules.held[place])
    for holds in rules.ends_hold:
        for hold in holds:
            profile.book_plant(hold.plant, found[hold.first].start, found[hold.last].finish)
