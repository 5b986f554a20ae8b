"""The site's local time in words: 24-hour clock, English day names, clock-change hours told apart."""

from __future__ import annotations

from datetime import datetime

from planner.units import SiteTime

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
FULL_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def is_repeated(local: datetime) -> bool:
    """Say whether this wall time, taken from an instant, comes twice because the clocks go back."""
    return local.utcoffset() != local.replace(fold=1 - local.fold).utcoffset()


def clock(time: SiteTime, slot: float) -> str:
    """Return "21:45", with the zone's name where that wall time comes twice."""
    local = time.local(slot)
    return f"{local:%H:%M} {local.tzname()}" if is_repeated(local) else f"{local:%H:%M}"


def day(time: SiteTime, slot: float) -> str:
    """Return "Wed 31 Mar"."""
    local = time.local(slot)
    return f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}"


def moment(time: SiteTime, slot: float) -> str:
    """Return "Wed 31 Mar 21:45"."""
    return f"{day(time, slot)} {clock(time, slot)}"


def span(time: SiteTime, start: float, finish: float) -> str:
    """Return "Wed 31 Mar 21:45–05:00", with the second day where it differs."""
    if time.day_of(start) == time.day_of(finish):
        return f"{moment(time, start)}–{clock(time, finish)}"
    return f"{moment(time, start)} – {moment(time, finish)}"


def length(slots: float) -> str:
    """Return a number of slots as "45 min", "6 h", "6 h 15 min" or "3 d 4 h"."""
    minutes = round(abs(slots) * 15)
    days, rest = divmod(minutes, 24 * 60)
    hours, left = divmod(rest, 60)
    if days:
        return f"{days} d {hours} h" if hours else f"{days} d"
    if hours:
        return f"{hours} h {left} min" if left else f"{hours} h"
    return f"{left} min"
