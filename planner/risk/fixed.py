"""Times fixed as planned: in which members gaps and reopenings hold, judged to the minute as the audit does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.cure.arrays import SLACK
from planner.cure.rates import opening_rate, shutting_rate
from planner.network.work import Gap
from planner.risk.chances import Held
from planner.risk.clocks import JUDGED_MIN, Clock
from planner.risk.scene import Reopening, Scene
from planner.units import SLOT_MINUTES


@dataclass(frozen=True, eq=False)
class FixedGap:
    """In which members a gap has opened, and not yet shut, at the planned time; both of shape (members,)."""

    opened: Held
    not_shut: Held


def fixed_gap(scene: Scene, gap: Gap) -> FixedGap:
    """Return how a gap between two planned operations holds."""
    anchor = scene.end(gap.after, gap.after_end)
    minute = scene.end(gap.before, gap.before_end) * SLOT_MINUTES
    opening = scene.clock(opening_rate(gap.curve), gap.curve, gap.element)
    shutting = scene.clock(shutting_rate(gap.curve), gap.curve, gap.element)
    judged = JUDGED_MIN if gap.product is not None else 0
    yes = np.ones(scene.members.count, dtype=bool)
    return FixedGap(
        yes if opening is None else _full(opening, anchor, minute + judged),
        yes if shutting is None else shutting.run(anchor, minute - judged) <= 1.0 + SLACK,
    )


def fixed_reopening(scene: Scene, reopening: Reopening) -> Held:
    """Return in which members every layer of a stretch is fit when its planned closure starts to be cleared."""
    held = np.ones(scene.members.count, dtype=bool)
    for layer in reopening.layers:
        clock = scene.clock(opening_rate(layer.curve), layer.curve, reopening.element)
        if clock is not None:
            held &= _full(clock, scene.end(layer.operation, "finish"), layer.clears_min + JUDGED_MIN)
    return held


def _full(clock: Clock, anchor: int, minute: int) -> Held:
    return np.asarray(clock.run(anchor, minute) >= 1.0 - SLACK)
