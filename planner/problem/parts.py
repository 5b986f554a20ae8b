"""The parts of the integer problem, each with its rule in its docstring. Times are slots from 0 to the horizon."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

Arrays = tuple[list[int], list[int]]


@dataclass(frozen=True)
class Task:
    """An operation: `length` slots by one gang, in one visit or cut into visits of at least `min_visit`.

    good: slots in which its light and weather let work go on.
    ends: boundaries at which a visit may end, because the protected time after them holds (bit f: finish f).
    gangs: indices of the gangs with the skill. any_time: the shifts of its gangs don't bind it.
    closures: indices of the closures that shut its lanes; None where it needs none.
    """

    index: int
    key: str
    length: int
    min_visit: int
    splittable: bool
    gangs: tuple[int, ...]
    structure: int
    plant: tuple[int, ...]
    closures: tuple[int, ...] | None
    good: int
    ends: int
    any_time: bool = False
    alternative: str | None = None
    """The way of working that was chosen, for the plan to name."""
    issued: Placed | None = None
    """Where an issued plan has it, done as `issued_way` says."""
    issued_way: str | None = None
    starts: int = -1
    """Slots at which it may start as far as notice of its hold point goes."""
    latest: int | None = None
    """Slot after which it may not start; `good` holds no slot at which it could start too early."""


@dataclass(frozen=True)
class Lag:
    """From an end of task `after` at slot z, an end of task `before` lies in opens[z] … shuts[z].

    opens None: plain order, not before z. shuts None: never shuts. Both arrays never fall.
    """

    after: int
    before: int
    from_start: bool
    to_finish: bool
    opens: list[int] | None
    shuts: list[int] | None
    key: str


@dataclass(frozen=True)
class StretchRule:
    """All `members`, from the start of the first to the finish of the last, lie in one of `closures`.

    fits: for (task, opens): opens[finish of task] must not be later than the end of that closure's work.
    """

    name: str
    members: tuple[int, ...]
    closures: tuple[int, ...]
    fits: tuple[tuple[int, list[int]], ...]


@dataclass(frozen=True)
class HoldRule:
    """One unit of `plant` is busy from the start of `first` to the finish of `last`."""

    plant: int
    first: int
    last: int


@dataclass(frozen=True)
class GangRule:
    """A gang works one visit at a time, inside one shift, with `move` slots between structures.

    shifts: slots on shift. starts: first slots of shifts; a visit may not run over one.
    paid_until, overtime_cost: by shift, where its wages end and what a slot after that costs, until the last of its
    visits has ended; both empty where no overtime is worked.
    """

    id: str
    shifts: int
    starts: int
    move: int
    cost: float
    shift_spans: tuple[tuple[int, int], ...]
    paid_until: tuple[float, ...] = ()
    overtime_cost: tuple[float, ...] = ()


@dataclass(frozen=True)
class ClosureRule:
    """A closure's work window [start, finish), after set-out and before clear."""

    id: str
    start: int
    finish: int
    cost: float


@dataclass(frozen=True)
class Unit:
    """Tasks that are placed together, forerunners first: one element, or several that are tied by maxima.

    chain: each task follows the one before it on one structure, so none competes with another for a gang.
    """

    index: int
    name: str
    tasks: tuple[int, ...]
    chain: bool
    needs: frozenset[int]
    """Units that must be placed before this one."""


@dataclass(frozen=True)
class Problem:
    """The whole problem. `slots_per_day` and the money terms serve the aims only."""

    horizon: int
    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...]
    stretches: tuple[StretchRule, ...]
    holds: tuple[HoldRule, ...]
    gangs: tuple[GangRule, ...]
    closures: tuple[ClosureRule, ...]
    plant_counts: tuple[int, ...]
    structures: int
    units: tuple[Unit, ...]
    day_starts: tuple[int, ...]
    prelims_per_day: float
    vanished: int = 0
    """Operations of an issued plan that are not among the tasks."""
    chosen_cost: float = 0.0
    """Money for the alternatives and remedies that were chosen before the problem was made."""
    moved_cost: float = 0.0
    """Money put on each operation that stands otherwise than issued."""

    @cached_property
    def lags_of(self) -> tuple[tuple[Lag, ...], ...]:
        """By task: the lags at either of whose ends it stands, in order."""
        found: list[list[Lag]] = [[] for _ in self.tasks]
        for lag in self.lags:
            found[lag.before].append(lag)
            if lag.after != lag.before:
                found[lag.after].append(lag)
        return tuple(tuple(some) for some in found)

    @cached_property
    def exposed(self) -> frozenset[int]:
        """The tasks that lie in an exposed stretch."""
        return frozenset(member for stretch in self.stretches for member in stretch.members)


@dataclass(frozen=True)
class Visit:
    """Slots [start, finish) of one visit."""

    start: int
    finish: int
    closure: int | None


@dataclass(frozen=True)
class Placed:
    """Where a task went: one gang, its visits in order."""

    task: int
    gang: int
    visits: tuple[Visit, ...]

    @property
    def start(self) -> int:
        """First slot of the first visit."""
        return self.visits[0].start

    @property
    def finish(self) -> int:
        """Slot after the last visit."""
        return self.visits[-1].finish
