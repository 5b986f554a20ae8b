"""One cure clock in all members at once, worked out only in the days where somebody asks for it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from planner.cure.arrays import SLACK
from planner.cure.rates import Floats, Rate
from planner.units import SLOT_MINUTES, hours_of, slots_up

SPAN = 96
"""Slots worked out together."""
SLOT_H = hours_of(1)
JUDGED_MIN = 1
"""Minutes by which a gap may be missed, as the audit judges: what its integration can tell apart."""
Slots = NDArray[np.int64]


class Clock(Protocol):
    """A clock that is full when it has run by 1, in each member."""

    def run(self, anchor: int, minute: int) -> Floats:
        """Return by how much it has run from slot `anchor` to `minute` [since slot 0], shape (members,)."""

    def ran(self, anchors: Slots, ends: Slots) -> Floats:
        """Return by how much it has run from each member's anchor to its end [slots], shape (members,)."""

    def full_at(self, anchors: Slots) -> Slots:
        """Return the first slot at which it is full from each member's anchor, shape (members,); H + 1: never."""


@dataclass(frozen=True, eq=False)
class MemberClock:
    """The clock of `rate` at temperatures [°C] at slot boundaries, shape (members, H + 1)."""

    rate: Rate
    temperature_c: Floats
    _spans: dict[int, Floats] = field(default_factory=dict, repr=False)

    @property
    def horizon(self) -> int:
        """Number of slots."""
        return int(self.temperature_c.shape[1]) - 1

    def run(self, anchor: int, minute: int) -> Floats:
        """Return by how much it has run from slot `anchor` to `minute` [since slot 0], shape (members,)."""
        last, rest = divmod(max(min(minute, self.horizon * SLOT_MINUTES), anchor * SLOT_MINUTES), SLOT_MINUTES)
        total = np.zeros(len(self.temperature_c))
        for span in range(anchor // SPAN, -(-last // SPAN)):
            total += self._gains(span)[:, max(anchor - span * SPAN, 0) : last - span * SPAN].sum(axis=1)
        return total + self._part(last, rest) if rest else total

    def ran(self, anchors: Slots, ends: Slots) -> Floats:
        """Return by how much it has run from each member's anchor to its end [slots], shape (members,)."""
        total = np.zeros(len(anchors))
        for span in range(int(anchors.min()) // SPAN, -(-min(int(ends.max()), self.horizon) // SPAN)):
            gains = self._gains(span)
            slots = span * SPAN + np.arange(gains.shape[1])
            asked = (slots >= anchors[:, None]) & (slots < ends[:, None])
            total += np.where(asked, gains, 0.0).sum(axis=1)
        return total

    def full_at(self, anchors: Slots) -> Slots:
        """Return the first slot at which it is full from each member's anchor, shape (members,); H + 1: never."""
        found = np.full(len(anchors), self.horizon + 1, dtype=np.int64)
        gained, open_still = np.zeros(len(anchors)), anchors <= self.horizon
        start = int(anchors[open_still].min(initial=self.horizon)) // SPAN
        for span in range(start, -(-self.horizon // SPAN)):
            if not open_still.any():
                break
            rows = np.flatnonzero(open_still & (anchors < (span + 1) * SPAN))
            gains = self._gains(span)[rows]
            slots = span * SPAN + np.arange(gains.shape[1])
            course = gained[rows, None] + np.cumsum(np.where(slots >= anchors[rows, None], gains, 0.0), axis=1)
            full = course >= 1.0 - SLACK
            reached = full.any(axis=1)
            found[rows[reached]] = slots[full[reached].argmax(axis=1)] + 1
            gained[rows] = course[:, -1]
            open_still[rows[reached]] = False
        return found

    def _gains(self, span: int) -> Floats:
        """Return what it gains in each slot of a span, shape (members, up to SPAN)."""
        if span not in self._spans:
            window = self.temperature_c[:, span * SPAN : (span + 1) * SPAN + 1]
            self._spans[span] = _steps(self.rate, window, SLOT_H)
        return self._spans[span]

    def _part(self, slot: int, minutes: int) -> Floats:
        """Return what it gains in the first minutes of a slot."""
        begins, ends = self.temperature_c[:, slot], self.temperature_c[:, slot + 1]
        there = begins + (ends - begins) * (minutes / SLOT_MINUTES)
        return _steps(self.rate, np.stack([begins, there], axis=1), minutes / 60)[:, 0]


@dataclass(frozen=True)
class PlainClock:
    """A clock that runs alike in all weathers: full after `hours` [h]."""

    hours: float
    members: int
    horizon: int

    def run(self, anchor: int, minute: int) -> Floats:
        """Return by how much it has run from slot `anchor` to `minute` [since slot 0], shape (members,)."""
        return np.full(self.members, max(0, minute - anchor * SLOT_MINUTES) / 60 / self.hours)

    def ran(self, anchors: Slots, ends: Slots) -> Floats:
        """Return by how much it has run from each member's anchor to its end [slots], shape (members,)."""
        return np.asarray(hours_of(1) * (ends - anchors) / self.hours, dtype=np.float64)

    def full_at(self, anchors: Slots) -> Slots:
        """Return the first slot at which it is full from each member's anchor, shape (members,); H + 1: never."""
        return np.minimum(anchors + slots_up(self.hours), self.horizon + 1)


def clock_of(rate: Rate, temperature_c: Floats) -> Clock:
    """Return the clock of `rate` at temperatures [°C], shape (members, H + 1)."""
    if rate.is_constant:
        return PlainClock(float(1.0 / rate.base_rate[1]), *_shape(temperature_c))
    return MemberClock(rate, temperature_c)


def _shape(temperature_c: Floats) -> tuple[int, int]:
    return temperature_c.shape[0], temperature_c.shape[1] - 1


def _steps(rate: Rate, temperature_c: Floats, hours: float) -> Floats:
    """Return the gains of all members in steps of `hours` [h]: one long row, less the steps from row to row."""
    members, boundaries = temperature_c.shape
    row = np.append(np.ascontiguousarray(temperature_c).ravel(), 0.0)
    return rate.increments(row, hours).reshape(members, boundaries)[:, :-1]
