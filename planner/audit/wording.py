"""Words of the audit: site local time, lengths of time and the names of operations, as people say them."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from planner.findings import list_words as list_words
from planner.units import SLOT_MINUTES, SiteTime

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(day: date) -> str:
    """Return a day such as "Tue 24 Mar", whatever language the computer is set to."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


def at_minute(time: SiteTime, minute: float) -> str:
    """Return the site's local time `minute` minutes after slot 0, such as "Tue 24 Mar 22:15".

    In the hour that the autumn change repeats, the zone's short name tells the two apart.
    """
    local = (time.epoch + timedelta(minutes=minute)).astimezone(time.zone)
    return f"{day_words(local.date())} {clock_words(local)}"


def clock_words(local: datetime) -> str:
    """Return "22:15", or "01:15 BST" where that wall time comes twice; `local` is aware, taken from an instant."""
    repeated = local.utcoffset() != local.replace(fold=1 - local.fold).utcoffset()
    return f"{local:%H:%M} {local.tzname()}" if repeated else f"{local:%H:%M}"


def at_slot(time: SiteTime, slot: int) -> str:
    """Return the site's local time at `slot`."""
    return at_minute(time, slot * SLOT_MINUTES)


def span_words(time: SiteTime, start: int, finish: int) -> str:
    """Return minutes [start, finish) such as "Tue 24 Mar 22:15 to 23:45"."""
    first, last = at_minute(time, start).split(" "), at_minute(time, finish).split(" ")
    same_day = first[:3] == last[:3]
    return f"{' '.join(first)} to {' '.join(last[3:] if same_day else last)}"


def length_words(minutes: float) -> str:
    """Return a length of time such as "2 h 15 min"; parts of a minute are rounded up, so none reads as "0 min"."""
    whole = -int(-minutes // 1)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def days_words(minutes: float) -> str:
    """Return a length such as "6 days 45 min": in days from two on, else as `length_words` has it."""
    days, rest = divmod(-int(-minutes // 1), _DAY_MIN)
    if days < _FEWEST_DAYS:
        return length_words(minutes)
    return f"{days} days {length_words(rest)}" if rest else f"{days} days"


_DAY_MIN, _FEWEST_DAYS = 24 * 60, 2


def reading_words(value: float, decimals: int = 1) -> str:
    """Return a reading as shown, such as "4.3"; nothing reads as "-0.0"."""
    return f"{round(float(value), decimals) + 0.0:.{decimals}f}"
