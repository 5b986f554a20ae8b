"""The night on which the site's clocks go forward or back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from planner.units import SiteTime, offset_change


@dataclass(frozen=True)
class ClockChange:
    """What the wall clock shows at the change, naive: `before`, when it is put to `after`."""

    before: datetime
    after: datetime


def clock_change(time: SiteTime, start: float, finish: float) -> ClockChange | None:
    """Return the change of the site's clocks after minute `start` and up to `finish` of the job, or None."""
    first, last = (time.epoch + timedelta(minutes=minute) for minute in (start, finish))
    offsets = [one.astimezone(time.zone).utcoffset() for one in (first, last)]
    if offsets[0] == offsets[1]:
        return None
    at = offset_change(first, last, time.zone)
    after = at.astimezone(time.zone)
    before = (at - timedelta(minutes=1)).astimezone(time.zone).replace(tzinfo=None) + timedelta(minutes=1)
    return ClockChange(before, after.replace(tzinfo=None))
