"""Times typed as arguments: site time, or with an offset."""

from __future__ import annotations

import argparse
from datetime import datetime

from planner.units import SiteTime


def site_moment(words: str) -> datetime:
    """Return a time typed as an argument, naive where it has no offset."""
    try:
        return datetime.fromisoformat(words)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"must be a time such as 2027-04-06T07:00, not {words}") from error


def slot_from(time: SiteTime, given: datetime) -> int:
    """Return the first slot of the job that begins at or after a time; a naive one is the site's."""
    aware = time.wall(given) if given.tzinfo is None else given
    return max(0, min(time.slot_up(aware), time.horizon))
