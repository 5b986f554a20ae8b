"""When a gap opens and shuts, to the minute, from one anchor."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.audit.case import JobSide
from planner.audit.ties import Wait
from planner.units import SLOT_MINUTES

CURE_RESOLUTION_MIN = 1.0
"""What the minute-by-minute integration of a cure clock can tell apart [min]."""
EXACT_MIN = 1e-6
"""Rounding of typed hours [min]."""
_DUST = 0.05
"""Share of the resolution that is taken for rounding before a gap's end is moved inwards to a whole slot."""


@dataclass(frozen=True)
class GapBounds:
    """opens, shuts: first and last minute for the other end of a gap; -infinity, infinity where there is none.

    An opening at infinity does not come within the job. resolution: how far [min] the two can be trusted.
    """

    opens: float
    shuts: float
    resolution: float

    def is_early(self, minute: float) -> bool:
        """Say whether the gap has not opened one resolution after `minute`."""
        return minute + self.resolution < self.opens

    def is_late(self, minute: float) -> bool:
        """Say whether the gap had already shut one resolution before `minute`."""
        return minute - self.resolution > self.shuts

    @property
    def first_minute(self) -> int:
        """The opening, which must come, rounded up to a minute."""
        return math.ceil(self.opens - self._dust)

    @property
    def last_minute(self) -> int:
        """The shutting, which must come, rounded down to a minute."""
        return math.floor(self.shuts + self._dust)

    @property
    def first_slot(self) -> int:
        """The opening, which must come, rounded up to a slot."""
        return math.ceil((self.opens - self._dust) / SLOT_MINUTES)

    @property
    def last_slot(self) -> int:
        """The shutting, which must come, rounded down to a slot."""
        return math.floor((self.shuts + self._dust) / SLOT_MINUTES)

    @property
    def _dust(self) -> float:
        return _DUST * min(self.resolution, CURE_RESOLUTION_MIN)


def gap_bounds(side: JobSide, wait: Wait, anchor: int) -> GapBounds:
    """Return when `wait` opens and shuts after `anchor` [minutes since slot 0]."""
    if wait.gate is not None:
        opens = side.minutes.gate(wait.gate, wait.element, wait.held_c).full_at(anchor)
        return GapBounds(opens, math.inf, CURE_RESOLUTION_MIN)
    if wait.curve is None:
        opens = anchor + wait.least_h * 60 if wait.least_h is not None else -math.inf
        shuts = anchor + wait.most_h * 60 if wait.most_h is not None else math.inf
        return GapBounds(opens, shuts, EXACT_MIN)
    opening = side.minutes.opening(wait.curve, wait.element, wait.held_c)
    shutting = side.minutes.shutting(wait.curve, wait.element, wait.held_c)
    return GapBounds(
        -math.inf if opening is None else opening.full_at(anchor),
        math.inf if shutting is None else shutting.over_at(anchor),
        CURE_RESOLUTION_MIN,
    )
