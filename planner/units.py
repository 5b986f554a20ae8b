"""Slots and the site's local time: whole quarter-hours since the job's first local midnight."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from typing import NewType
from zoneinfo import ZoneInfo

Slot = NewType("Slot", int)

SLOT_MINUTES = 15
SLOTS_PER_HOUR = 60 // SLOT_MINUTES
SLOT = timedelta(minutes=SLOT_MINUTES)
ROUNDING = 1e-9
"""Slack, in slots, below which a length counts as whole: floats, not minutes."""


def slots_up(hours: float) -> int:
    """Return `hours` [h] in slots, rounded up: an operation never gets less time than it needs."""
    return math.ceil(hours * SLOTS_PER_HOUR - ROUNDING)


def slots_down(hours: float) -> int:
    """Return `hours` [h] in slots, rounded down: a gap never shuts later than it must."""
    return math.floor(hours * SLOTS_PER_HOUR + ROUNDING)


def hours_of(slots: int) -> float:
    """Return a number of slots in hours [h]."""
    return slots / SLOTS_PER_HOUR


@dataclass(frozen=True)
class SiteTime:
    """The job's time axis: slot 0 is local midnight of `first_day`; the axis itself is UTC.

    Elapsed time is exact across clock-change nights, since slots count from a UTC instant.
    """

    first_day: date
    days: int
    zone: ZoneInfo

    @cached_property
    def epoch(self) -> datetime:
        """UTC instant of slot 0."""
        return self.midnight(self.first_day)

    @cached_property
    def horizon(self) -> int:
        """Number of slots from slot 0 to local midnight after the last day."""
        return self.slot_of(self.midnight(self.first_day + timedelta(days=self.days)))

    def midnight(self, day: date) -> datetime:
        """Return the UTC instant of local midnight that begins `day`."""
        return self.instant(day, time(0, 0))

    def instant(self, day: date, clock: time) -> datetime:
        """Return the UTC instant of a local wall time.

        A wall time that the spring change skips is read as the first instant after the change; one that the
        autumn change repeats is read as its first occurrence.
        """
        local = datetime.combine(day, clock, tzinfo=self.zone)
        there = local.astimezone(UTC)
        if there.astimezone(self.zone).replace(tzinfo=None) == local.replace(tzinfo=None):
            return there
        before = local.replace(fold=1).astimezone(UTC)
        return offset_change(min(before, there), max(before, there), self.zone)

    def wall(self, moment: datetime) -> datetime:
        """Return the UTC instant of a naive local date and time, by the same rules as `instant`."""
        return self.instant(moment.date(), moment.time())

    def skips(self, moment: datetime) -> bool:
        """Say whether a naive local date and time never comes, as the clocks go forward over it."""
        return self.wall(moment).astimezone(self.zone).replace(tzinfo=None) != moment

    def minutes_of(self, moment: datetime) -> int:
        """Return whole minutes from slot 0 to an aware `moment` (negative before it)."""
        _demand_aware(moment)
        return math.floor((moment - self.epoch).total_seconds() / 60)

    def slot_of(self, moment: datetime) -> int:
        """Return the slot that holds an aware `moment`, rounded down."""
        return self.minutes_of(moment) // SLOT_MINUTES

    def slot_up(self, moment: datetime) -> int:
        """Return the first slot that begins at or after an aware `moment`."""
        _demand_aware(moment)
        return -((self.epoch - moment) // SLOT)

    def local(self, slot: float) -> datetime:
        """Return the site's local time at `slot` (fractions allowed)."""
        return (self.epoch + slot * SLOT).astimezone(self.zone)

    def day_of(self, slot: float) -> date:
        """Return the local calendar day that holds `slot`."""
        return self.local(slot).date()

    def each_day(self, before: int = 0, after: int = 0) -> Iterator[date]:
        """Yield the job's days in order, with `before` and `after` extra days at the ends."""
        for offset in range(-before, self.days + after):
            yield self.first_day + timedelta(days=offset)


def offset_change(low: datetime, high: datetime, zone: ZoneInfo) -> datetime:
    """Return the instant between two UTC instants at which the zone's offset changes, to the minute."""
    start = low.astimezone(zone).utcoffset()
    while high - low > timedelta(minutes=1):
        middle = low + (high - low) / 2
        if middle.astimezone(zone).utcoffset() == start:
            low = middle
        else:
            high = middle
    return high.replace(second=0, microsecond=0)


def _demand_aware(moment: datetime) -> None:
    if moment.tzinfo is None:
        raise ValueError(f"{moment.isoformat()} has no time zone; only aware times go on the job's axis")
