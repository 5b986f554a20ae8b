"""Times and readings as they are typed on a tablet; no Qt."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from datetime import time as wall_clock

from planner.audit.wording import clock_words, day_words
from planner.model import Readings
from planner.units import SLOT_MINUTES, SiteTime

_TIME = re.compile(r"(\d{1,2})[:.](\d{2})|(\d{2})(\d{2})")
_DAY = re.compile(
    r"(?:([A-Za-z]{3})[a-z]*[.,]?\s+)?(\d{1,2})\.?\s+([A-Za-z]{3})[a-z]*\.?,?\s+(?:(\d{4}),?\s+)?([\d:.]+)"
)
"""Weekday, day, month, year and time; weekday and year may be left out."""
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


class TypedError(ValueError):
    """What was typed can't be read; the words say what can."""


def time_words(time: SiteTime, minute: int | None, near: int) -> str:
    """Return a minute as it stands in a field: "14:10", with its day where that would be read as another time."""
    if minute is None:
        return ""
    local = time.local(minute / SLOT_MINUTES)
    short = f"{local:%H:%M}"
    return short if _reads_as(time, short, near) == minute else f"{day_words(local.date())} {short}"


def _reads_as(time: SiteTime, words: str, near: int) -> int | None:
    """Return the minute that is meant by a time; None where there is none such near by."""
    try:
        return read_time(time, words, near)
    except TypedError:
        return None


def read_time(time: SiteTime, text: str, near: int) -> int | None:
    """Return the minute meant by "14:10", "1410", "25 Mar 14:10" or "Thu 25 Mar 2027 14:10"; None for an empty field.

    Without a day, the time nearest to minute `near` is meant, so that work planned for 23:30 may start at 00:15.
    Raises TypedError.
    """
    words = text.strip()
    if not words:
        return None
    named = _DAY.fullmatch(words)
    if named is not None:
        return _on_day(time, _named_day(time, *named.groups()[:4]), named[5])
    today = time.day_of(near / SLOT_MINUTES)
    days = [today + timedelta(days=days) for days in (-1, 0, 1)]
    nearest = min(days, key=lambda day: abs(time.minutes_of(time.wall(_wall(day, words))) - near))
    return _on_day(time, nearest, words)


def _named_day(time: SiteTime, weekday: str | None, day: str, month: str, year: str | None) -> date:
    """Return the day of the job that is meant; one whose weekday is another is a slip of the finger."""
    if month.lower() in _MONTHS:
        number = _MONTHS.index(month.lower()) + 1
        for one in time.each_day(1, 1):
            if (one.day, one.month) == (int(day), number) and year in (None, str(one.year)):
                if weekday is not None and weekday.lower() != f"{one:%a}".lower():
                    raise TypedError(f"{day} {month} is a {one:%a}, not a {weekday}")
                return one
    raise TypedError(f"{day} {month}{f' {year}' if year else ''} is not a day of this job")


def _on_day(time: SiteTime, day: date, words: str) -> int:
    wall = _wall(day, words)
    if time.skips(wall):
        after = time.wall(wall).astimezone(time.zone)
        never = f"{wall:%H:%M} never comes on {day_words(day)}"
        raise TypedError(f"{never}: the clocks go forward over it, to {after:%H:%M}")
    return time.minutes_of(time.wall(wall))


def _wall(day: date, words: str) -> datetime:
    """Return the wall time that was typed, on a day."""
    found = _TIME.fullmatch(words.strip())
    hours, minutes = (int(part) for part in (found[1] or found[3], found[2] or found[4])) if found else (99, 0)
    if hours > 23 or minutes > 59:
        raise TypedError(f"“{words[:20]}” is not a time: type 14:10")
    return datetime.combine(day, wall_clock(hours, minutes))


def read_reading(name: str, text: str) -> float | None:
    """Return a typed reading; None for an empty field. Raises TypedError."""
    words = text.strip().replace(",", ".").replace("−", "-")
    if not words:
        return None
    try:
        value = float(words)
        Readings.model_validate({name: value})
    except ValueError as error:
        raise TypedError(f"“{text.strip()[:20]}” can't be a {_CALLED[name]}") from error
    return value


_CALLED = {
    "surface_c": "surface temperature",
    "air_c": "air temperature",
    "humidity_pct": "humidity",
    "wind_ms": "wind",
    "moisture_pct": "moisture",
    "mix_c": "temperature of the mix",
}


def moment_words(time: SiteTime, minute: int) -> str:
    """Return "Thu 25 Mar 14:10"."""
    local = time.local(minute / SLOT_MINUTES)
    return f"{day_words(local.date())} {clock_words(local)}"
