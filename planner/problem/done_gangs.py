"""Done work as it really was: gangs at two places within one slot, or moved sooner than they should."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from planner.intervals import Interval
from planner.model import Job, Placement
from planner.model.keys import element_of
from planner.problem import bits
from planner.problem.issued import Issued
from planner.problem.parts import GangRule, Placed
from planner.units import SLOT_MINUTES

Visits = tuple[Placement, ...]


class Shift(NamedTuple):
    """A shift [start, finish) with its pay."""

    start: int
    finish: int
    paid_until: float
    cost: float


@dataclass(frozen=True)
class DoneGangs:
    """What has begun stands, whatever its gang's other begun work: what clashes with that has a gang of its own.

    Such a gang has the true one's name and no other work; the true gang is busy meanwhile, and until it has moved.
    """

    job: Job
    issued: Issued

    @cached_property
    def beside(self) -> Mapping[str, int]:
        """The number of the own gang of each operation that has one: they come after the job's gangs."""
        keys = [key for gang in self.job.gangs for key in self._clashing(gang.id, -(-gang.move_min // SLOT_MINUTES))]
        return {key: len(self.job.gangs) + number for number, key in enumerate(dict.fromkeys(keys))}

    def _clashing(self, gang: str, move: int) -> Sequence[str]:
        """Return the operations that leave their gang no time for what it had begun after them."""
        own = [one for key, visits in self.issued.visits.items() if self._is_done_here(key) for one in visits]
        clashing: list[str] = []
        after: Placement | None = None
        for placed in sorted((one for one in own if one.gang == gang), key=lambda one: one.finish, reverse=True):
            if after is None or placed.operation == after.operation:
                after = placed
                continue
            room = after.start - placed.finish
            if room < (0 if self._structure(placed) == self._structure(after) else move):
                clashing.append(placed.operation)
            else:
                after = placed
        return clashing

    def _is_done_here(self, key: str) -> bool:
        """Say whether an operation has begun, and is of the job or of the part of it that is looked at."""
        return self.issued.is_done(key) and element_of(key) in self._structures

    @cached_property
    def _structures(self) -> Mapping[str, str]:
        return {element.id: element.structure for element in self.job.elements}

    def _structure(self, placed: Placement) -> str:
        return self._structures[element_of(placed.operation)]

    def place_of(self, index: int, key: str, closures: Mapping[str, int]) -> Placed | None:
        """Return where an operation stood, with the gang that it has here; None if nowhere."""
        own = self.beside.get(key)
        gangs = {gang.id: number if own is None else own for number, gang in enumerate(self.job.gangs)}
        return self.issued.place_of(index, key, gangs, closures)

    def with_own(self, rules: Sequence[GangRule]) -> tuple[GangRule, ...]:
        """Return the rules of the job's gangs, as they go with what has begun, and then the gangs of its own."""
        own = [self.issued.visits[key] for key in self.beside]
        real = [visits for key, visits in self.issued.visits.items() if self._stands(key)]
        made = []
        for rule in rules:
            worked = [one for visits in real for one in visits if one.gang == rule.id]
            away = bits.of_intervals(Interval(one.start, one.finish + rule.move) for one in _of(rule.id, own))
            here = bits.of_intervals(Interval(one.start, one.finish) for one in worked)
            wider = _widened(rule, worked)
            made.append(replace(wider, shifts=wider.shifts & ~(away & ~here)))
        return (*made, *map(_rule_of, own))

    def _stands(self, key: str) -> bool:
        return self._is_done_here(key) and key not in self.beside


def _of(gang: str, own: Sequence[Visits]) -> list[Placement]:
    return [one for visits in own for one in visits if visits[0].gang == gang]


def _rule_of(visits: Visits) -> GangRule:
    """Return the gang that did this work and nothing else."""
    slots = bits.of_intervals(Interval(one.start, one.finish) for one in visits)
    spans = tuple((int(one.start), int(one.finish)) for one in visits)
    return GangRule(visits[0].gang, slots, sum(1 << one.start for one in visits), 0, 0.0, spans)


def _widened(rule: GangRule, worked: Sequence[Placement]) -> GangRule:
    """Return a gang whose shifts began or lasted as its work did: else that would lie outside them."""
    outside = [one for one in worked if bits.span(one.start, one.finish) & ~rule.shifts or _crosses(rule, one)]
    if not outside:
        return rule
    paid = rule.paid_until or tuple(float(finish) for _, finish in rule.shift_spans)
    cost = rule.overtime_cost or (0.0,) * len(rule.shift_spans)
    shifts = [Shift(*span, until, each) for span, until, each in zip(rule.shift_spans, paid, cost, strict=True)]
    for one in outside:
        met = [shift for shift in shifts if shift.start < one.finish and one.start < shift.finish]
        rest = [shift for shift in shifts if shift not in met]
        first = min((*met, Shift(one.start, one.finish, float(one.finish), 0.0)), key=lambda shift: shift.start)
        finish = max(one.finish, *(shift.finish for shift in met)) if met else one.finish
        known = met[0] if met else first
        shifts = sorted([*rest, Shift(first.start, finish, known.paid_until, known.cost)])
    return replace(
        rule,
        shifts=rule.shifts | bits.of_intervals(Interval(one.start, one.finish) for one in outside),
        starts=sum(1 << shift.start for shift in shifts),
        shift_spans=tuple((shift.start, shift.finish) for shift in shifts),
        paid_until=tuple(shift.paid_until for shift in shifts) if rule.paid_until else (),
        overtime_cost=tuple(shift.cost for shift in shifts) if rule.overtime_cost else (),
    )


def _crosses(rule: GangRule, one: Placement) -> bool:
    """Say whether a visit goes on over the beginning of a shift."""
    return bool(rule.starts & bits.span(one.start + 1, one.finish))
