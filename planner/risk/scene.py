"""One plan before the ensemble: its work written out, its visits, and the clocks that its gaps and layers share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from planner.cure.rates import Rate, opening_rate, shutting_rate
from planner.model import Closure, GapCurve, Job, Placement, Plan, SurfaceKind
from planner.network.options import chosen_in
from planner.network.work import Gap, Stretch, Work, write_out
from planner.risk.clocks import Clock, clock_of
from planner.risk.members import Members
from planner.units import SLOT_MINUTES


@dataclass(frozen=True)
class Layer:
    """A layer that must be fit for traffic at minute `clears_min`, when clearing starts or plates go down."""

    operation: str
    curve: GapCurve
    clears_min: int


@dataclass(frozen=True)
class Reopening:
    """An exposed stretch and the closure in which the plan has it."""

    closure: str
    element: str
    stretch: Stretch
    layers: tuple[Layer, ...]


@dataclass(frozen=True)
class Begun:
    """What is done or under way by slot `now`, by the site record: it is where it is in every member."""

    now: int = 0
    operations: frozenset[str] = frozenset()

    def holds(self, visit: Placement) -> bool:
        """Say whether a visit has begun."""
        return visit.operation in self.operations and visit.start < self.now


NOTHING_BEGUN = Begun()


@dataclass(frozen=True, eq=False)
class Scene:
    """A plan of a job, and the members that it is held against; `begun`: what of it is no longer open."""

    job: Job
    plan: Plan
    members: Members
    begun: Begun = NOTHING_BEGUN
    _clocks: dict[object, Clock | None] = field(default_factory=dict, repr=False)

    @cached_property
    def work(self) -> Work:
        """The job's work, done as the plan chooses."""
        return write_out(self.job, chosen_in(self.job, self.plan))

    @cached_property
    def visits(self) -> dict[str, tuple[Placement, ...]]:
        """The visits of each operation in order of time."""
        found: dict[str, list[Placement]] = {}
        for placed in sorted(self.plan.placements, key=lambda placed: placed.start):
            found.setdefault(placed.operation, []).append(placed)
        return {key: tuple(visits) for key, visits in found.items()}

    @cached_property
    def order(self) -> tuple[Placement, ...]:
        """All visits in the order of the plan; one that a record left before what it follows comes after that."""
        rest = sorted(self.plan.placements, key=lambda one: (one.start, one.finish, one.operation))
        open_visits = {key: len(visits) for key, visits in self.visits.items()}
        found: list[Placement] = []
        while rest:
            waits = (any(open_visits.get(key) for key in self.forerunners.get(one.operation, ())) for one in rest)
            place = next((number for number, must_wait in enumerate(waits) if not must_wait), 0)
            found.append(rest.pop(place))
            open_visits[found[-1].operation] -= 1
        return tuple(found)

    @cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """The gaps whose two operations the plan holds, in file order."""
        return tuple(gap for gap in self.work.gaps if gap.after in self.visits and gap.before in self.visits)

    @cached_property
    def reopenings(self) -> tuple[Reopening, ...]:
        """The exposed stretches that the plan holds in a closure, in file order."""
        return tuple(one for stretch in self.work.stretches for one in self._reopenings(stretch))

    @cached_property
    def kinds(self) -> tuple[SurfaceKind, ...]:
        """The kinds of element whose surface drives any clock that temperature moves."""
        driven = [(gap.curve, gap.element) for gap in self.gaps]
        driven += [(layer.curve, one.element) for one in self.reopenings for layer in one.layers]
        moved = (element for curve, element in driven if curve.temperature == "surface" and not _is_plain(curve))
        return tuple(dict.fromkeys(self.job.element(element).surface_kind for element in moved))

    @cached_property
    def forerunners(self) -> dict[str, list[str]]:
        """The planned operations that each one follows."""
        found: dict[str, list[str]] = {}
        for before, after in self.work.follows:
            if before in self.visits:
                found.setdefault(after, []).append(before)
        return found

    @cached_property
    def gaps_to(self) -> dict[str, list[Gap]]:
        """The gaps that end at each operation."""
        found: dict[str, list[Gap]] = {}
        for gap in self.gaps:
            found.setdefault(gap.before, []).append(gap)
        return found

    @cached_property
    def stretch_of(self) -> dict[str, Stretch]:
        """The exposed stretch that each operation lies in; of two that overlap, the one named first."""
        found: dict[str, Stretch] = {}
        for reopening in self.reopenings:
            for key in reopening.stretch.inside:
                found.setdefault(key, reopening.stretch)
        return found

    @cached_property
    def lanes(self) -> dict[str, frozenset[str]]:
        """The lanes that must be shut for each operation; empty for none."""
        return {operation.key: frozenset(operation.lanes) for operation in self.work.operations}

    def end(self, key: str, which: str) -> int:
        """Return the slot of the "start" or the "finish" of an operation as planned."""
        visits = self.visits[key]
        return visits[0].start if which == "start" else max(visit.finish for visit in visits)

    def clears_min(self, closure: Closure) -> int:
        """Return the minute since slot 0 at which the clearing of a closure starts."""
        return self.job.time.minutes_of(self.job.time.wall(closure.finish)) - closure.clear_min

    def clock(self, rate: Rate | None, curve: GapCurve, element: str) -> Clock | None:
        """Return the clock of one end of a curve on an element, shared by all that run alike; None for no clock.

        rate: that of the end, as `planner.cure.rates` gives it for `curve`.
        """
        if rate is None:
            return None
        kind = None if curve.temperature == "air" else self.job.element(element).surface_kind
        key = (*(tuple(part.tolist()) for part in (rate.knots_c, rate.base_rate, rate.growth)), kind)
        if key not in self._clocks:
            there = self.members.air_c if kind is None or rate.is_constant else self.members.surface_c(kind)
            self._clocks[key] = clock_of(rate, there)
        return self._clocks[key]

    def settled(self, gap: Gap) -> bool:
        """Say whether a gap was met or missed by now, once and for all."""
        visits, end = self.visits[gap.before], self.end(gap.before, gap.before_end)
        return end <= self.begun.now and all(
            self.begun.holds(one) for one in visits if one.start < end or one is visits[0]
        )

    def is_reopened(self, one: Reopening) -> bool:
        """Say whether all the work of a stretch is done by now, and its closure is cleared."""
        inside = [visit for key in one.stretch.inside for visit in self.visits.get(key, ())]
        over = all(self.begun.holds(visit) and visit.finish <= self.begun.now for visit in inside)
        cleared = max((layer.clears_min for layer in one.layers), default=0) <= self.begun.now * SLOT_MINUTES
        return bool(self.begun.operations) and over and cleared

    def _reopenings(self, stretch: Stretch) -> Iterator[Reopening]:
        """Yield the stretch once, or where it is plated once for each closure in which a layer is placed."""
        known = {closure.id: closure for closure in self.job.closures}
        named = [v.closure for key in stretch.inside for v in self.visits.get(key, ()) if v.closure in known]
        if not named or named[0] is None:
            return
        if stretch.plates is None:
            clears = self.clears_min(known[named[0]])
            layers = [Layer(key, curve, clears) for key, curve, _ in stretch.fit if key in self.visits]
            yield Reopening(named[0], stretch.element, stretch, tuple(layers))
            return
        for closure in dict.fromkeys(name for name in named if name is not None):
            laid = self.clears_min(known[closure]) - stretch.plates[1] * SLOT_MINUTES
            layers = [
                Layer(key, curve, laid)
                for key, curve, _ in stretch.fit
                if key in self.visits and self.visits[key][-1].closure == closure
            ]
            yield Reopening(closure, stretch.element, stretch, tuple(layers))


def _is_plain(curve: GapCurve) -> bool:
    """Say whether both clocks of a curve run alike at all temperatures."""
    return all(rate is None or rate.is_constant for rate in (opening_rate(curve), shutting_rate(curve)))
