"""A plan that was handed out before: where its operations stand, and which of them can't be changed any more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from planner.intervals import Interval
from planner.model import Placement, Plan
from planner.problem import bits
from planner.problem.parts import ClosureRule, GangRule, Placed, Task, Visit


@dataclass(frozen=True)
class Issued:
    """A plan that was handed out. What has begun by slot `now` is done or under way, and stays as it is.

    begun: what has begun, by the site record; left out, whatever the plan starts before `now`. moved_cost: money put
    on each operation that stands otherwise.
    """

    plan: Plan
    now: int = 0
    begun: frozenset[str] | None = None
    moved_cost: float = 0.0

    @cached_property
    def visits(self) -> dict[str, tuple[Placement, ...]]:
        """The visits of each operation in order of time."""
        found: dict[str, list[Placement]] = {}
        for placed in sorted(self.plan.placements, key=lambda placed: placed.start):
            found.setdefault(placed.operation, []).append(placed)
        return {key: tuple(visits) for key, visits in found.items()}

    def is_done(self, key: str) -> bool:
        """Say whether an operation has started by now."""
        if self.begun is not None:
            return key in self.begun and key in self.visits
        return key in self.visits and self.visits[key][0].start < self.now

    @property
    def done(self) -> frozenset[str]:
        """The operations that have started by now."""
        return frozenset(key for key in self.visits if self.is_done(key))

    def way_of(self, key: str) -> str | None:
        """Return the alternative by which an operation was to be done."""
        visits = self.visits.get(key, ())
        return visits[0].alternative if visits else None

    def place_of(self, index: int, key: str, gangs: Mapping[str, int], closures: Mapping[str, int]) -> Placed | None:
        """Return where it has an operation; None if nowhere, or with a gang that is no more."""
        visits = self.visits.get(key, ())
        if not visits or visits[0].gang not in gangs:
            return None
        made = (Visit(one.start, one.finish, closures.get(one.closure or "")) for one in visits)
        return Placed(index, gangs[visits[0].gang], tuple(made))


def as_done(task: Task, issued: Placed, gang: GangRule, closures: Sequence[ClosureRule], now: int = 0) -> Task:
    """Return a task that has started as one that has a place only where it was: no more is asked of it.

    Its gang is taken to have been at work; lanes are asked for only where its closures are still there, and plant
    only where the work goes on past slot `now`.
    """
    slots = bits.of_intervals(Interval(visit.start, visit.finish) for visit in issued.visits)
    named = {visit.closure for visit in issued.visits}
    inside = all(
        visit.closure is not None
        and closures[visit.closure].start <= visit.start
        and visit.finish <= closures[visit.closure].finish
        for visit in issued.visits
    )
    return replace(
        task,
        length=slots.bit_count(),
        min_visit=1,
        splittable=len(issued.visits) > 1,
        gangs=(issued.gang,),
        plant=task.plant if max(visit.finish for visit in issued.visits) > now else (),
        closures=tuple(sorted(closure for closure in named if closure is not None)) if inside else None,
        good=slots,
        ends=bits.span(0, slots.bit_length() + 1),
        any_time=bool(slots & ~gang.shifts),
        latest=issued.start,
    )
