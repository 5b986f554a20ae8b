"""Times typed as arguments: site time, or with an offset."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime

from planner.audit.wording import day_words
from planner.errors import NoSuchTimeError
from planner.units import SiteTime


def site_moment(words: str) -> datetime:
    """Return a time typed as an argument, naive where it has no offset."""
    try:
        return datetime.fromisoformat(words)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"must be a time such as 2027-04-06T07:00, not {words}") from error


def instant_from(time: SiteTime, given: datetime) -> datetime:
    """Return the instant of a time given; a naive one is the site's. NoSuchTimeError where that never comes."""
    if given.tzinfo is not None:
        return given
    if time.skips(given):
        after = time.wall(given).astimezone(time.zone)
        raise NoSuchTimeError(
            f"{given.isoformat(timespec='minutes')} is no time in {time.zone.key}: the clocks go forward over it, to "
            f"{after:%H:%M}. Give a time before or after that."
        )
    return time.wall(given)


def slot_from(time: SiteTime, given: datetime) -> int:
    """Return the first slot of the job that begins at or after a time; 0 before the job's days.

    NoSuchTimeError after them, and as for `instant_from`.
    """
    slot = time.slot_up(instant_from(time, given))
    if slot > time.horizon:
        last = day_words(time.day_of(time.horizon - 1))
        raise NoSuchTimeError(
            f"{given.isoformat(timespec='minutes')} is after the job's last day, {last}. Give a time within its days."
        )
    return max(0, slot)


def now_slot(time: SiteTime, given: datetime | None) -> int:
    """Return the first slot from now on, or from a time given; 0 where now lies outside the job's days."""
    if given is not None:
        return slot_from(time, given)
    slot = time.slot_up(datetime.now(UTC))
    return slot if 0 <= slot < time.horizon else 0
