"""One cure clock in all members at once, worked out only in the days where somebody asks for it."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from planner.cure.rates import Floats, Rate
from planner.risk.gains import gains
from planner.units import SLOT_MINUTES, hours_of, slots_up
from planner.weather.series import Singles

SPAN = 96
"""Slots worked out together."""
SLOT_H = hours_of(1)
_FULL = np.float32(1.0 - 2e-6)
"""When a clock counts as full: sums of a day's gains in single precision are good to about a millionth."""
_REMEMBERED = 64
"""Answers that a clock remembers: one a gap of the same kind in a job of some hundred operations."""
_FEW = 6
"""A span is worked out for all members once so large a part of them asks for it: others will."""
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
    temperature_c: Floats | Singles
    _spans: dict[int, Singles] = field(default_factory=dict, repr=False)
    _asked: deque[tuple[Slots, Slots]] = field(default_factory=lambda: deque(maxlen=_REMEMBERED), repr=False)

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
            rows = np.flatnonzero((anchors < (span + 1) * SPAN) & (ends > span * SPAN))
            gained = self._gains_of(span, rows)
            slots = span * SPAN + np.arange(gained.shape[1])
            asked = (slots >= anchors[rows, None]) & (slots < ends[rows, None])
            total[rows] += np.einsum("ij,ij->i", gained, asked.astype(np.float32))
        return total

    def full_at(self, anchors: Slots) -> Slots:
        """Return the first slot at which it is full from each member's anchor, shape (members,); H + 1: never.

        A gang that looks ahead asks again with most anchors as they were: only the others are worked out.
        """
        same = [(int(np.count_nonzero(before == anchors)), number) for number, (before, _) in enumerate(self._asked)]
        most, number = max(same, default=(0, -1))
        if most == len(anchors):
            return self._asked[number][1]
        members, found = np.arange(len(anchors)), np.empty(len(anchors), dtype=np.int64)
        if most:
            before, found = self._asked[number][0], self._asked[number][1].copy()
            members = np.flatnonzero(before != anchors)
        found[members] = self._full_at(members, anchors[members])
        found.setflags(write=False)
        self._asked.append((anchors.copy(), found))
        return found

    def _full_at(self, members: Slots, anchors: Slots) -> Slots:
        found = np.full(len(anchors), self.horizon + 1, dtype=np.int64)
        gained, open_still = np.zeros(len(anchors), dtype=np.float32), anchors <= self.horizon
        start = int(anchors[open_still].min(initial=self.horizon)) // SPAN
        for span in range(start, -(-self.horizon // SPAN)):
            if not open_still.any():
                break
            rows = np.flatnonzero(open_still & (anchors < (span + 1) * SPAN))
            here = self._gains_of(span, members[rows])
            slots = span * SPAN + np.arange(here.shape[1])
            course = np.where(slots >= anchors[rows, None], here, np.float32(0.0)).cumsum(axis=1)
            course += gained[rows, None]
            reached = course[:, -1] >= _FULL
            found[rows[reached]] = slots[(course[reached] >= _FULL).argmax(axis=1)] + 1
            gained[rows] = course[:, -1]
            open_still[rows[reached]] = False
        return found

    def _gains(self, span: int) -> Singles:
        """Return what it gains in each slot of a span, shape (members, up to SPAN)."""
        if span not in self._spans:
            self._spans[span] = gains(self.rate, self._window(span), SLOT_H)
        return self._spans[span]

    def _gains_of(self, span: int, rows: Slots) -> Singles:
        """Return the gains of some members; of few, by themselves."""
        if span not in self._spans and _FEW * len(rows) < len(self.temperature_c):
            return gains(self.rate, self._window(span)[rows], SLOT_H)
        found = self._gains(span)
        return found if len(rows) == len(found) else found[rows]

    def _window(self, span: int) -> Floats | Singles:
        return self.temperature_c[:, span * SPAN : (span + 1) * SPAN + 1]

    def _part(self, slot: int, minutes: int) -> Singles:
        """Return what it gains in the first minutes of a slot."""
        begins, ends = self.temperature_c[:, slot], self.temperature_c[:, slot + 1]
        there = begins + (ends - begins) * (minutes / SLOT_MINUTES)
        return gains(self.rate, np.stack([begins, there], axis=1), minutes / 60)[:, 0]


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


def clock_of(rate: Rate, temperature_c: Floats | Singles) -> Clock:
    """Return the clock of `rate` at temperatures [°C], shape (members, H + 1)."""
    if rate.is_constant:
        return PlainClock(float(1.0 / rate.base_rate[1]), *_shape(temperature_c))
    return MemberClock(rate, temperature_c)


def _shape(temperature_c: Floats | Singles) -> tuple[int, int]:
    return temperature_c.shape[0], temperature_c.shape[1] - 1
