"""Closures on the slot axis: when the lanes are shut, and when between the cones work may go on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

from planner.intervals import Interval
from planner.model import Closure
from planner.units import SiteTime


@dataclass(frozen=True)
class ClosureWindow:
    """A closure in slots.

    whole: from set-out to the last cone lifted, not clipped to the job; at least one slot for drawing.
    work: between set-out and clearing, within [0, horizon]; None if nothing is left or it lies outside the job.
    """

    closure: Closure
    whole: Interval
    work: Interval | None


@lru_cache(maxsize=2048)
def closure_window(closure: Closure, time: SiteTime) -> ClosureWindow:
    """Return `closure` in slots, both intervals rounded inwards; its times are the site's wall time.

    Set-out and clearing take elapsed minutes, so on a clock-change night they are as long as on any other. Kept.
    """
    opens, closes = time.wall(closure.start), time.wall(closure.finish)
    first, last = time.slot_up(opens), time.slot_of(closes)
    whole = Interval(first, last) if first < last else Interval(time.slot_of(opens), time.slot_of(opens) + 1)
    begins = max(0, time.slot_up(opens + timedelta(minutes=closure.set_out_min)))
    ends = min(time.horizon, time.slot_of(closes - timedelta(minutes=closure.clear_min)))
    return ClosureWindow(closure, whole, Interval(begins, ends) if begins < ends else None)
