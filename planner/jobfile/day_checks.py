"""Days and clock times of a job: sensible years, forecast days that cover the job, hours of rain."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.suggest import listed, shown
from planner.jobfile.tables import Table, TomlPath, first_and_days, inner, is_day, parts, texts

_FIRST_YEAR, _LAST_YEAR = 1990, 2150
"""Years in which the zone rules and the sun's formulas mean something."""


def check_days(own: Table, book: FaultBook) -> None:
    """Write down dates far out of our time, missing or doubled forecast days and impossible hours of rain."""
    for path, day in _dates(own, ()):
        if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
            book.add("far-year", path, shown(day), f"the years {_FIRST_YEAR} to {_LAST_YEAR}")
    _check_forecast_days(own, book)


def _dates(value: Any, path: TomlPath) -> Iterator[tuple[TomlPath, date]]:
    if isinstance(value, date):
        yield path, value
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, item in steps:
        yield from _dates(item, (*path, step))


def _check_forecast_days(own: Table, book: FaultBook) -> None:
    forecast = inner(own, "forecast")
    seen: set[date] = set()
    for path, day in parts(forecast, "days", ("forecast",)):
        when = day.get("date")
        if is_day(when):
            if when in seen:
                book.add("forecast-day-repeated", (*path, "date"), f"{shown(when)} a second time", "each day once")
            seen.add(when)
        for at, hours in texts(day, "rain", path):
            _check_rain(at, hours, book)
    if seen:
        _check_cover(own, seen, book)


def _check_cover(own: Table, seen: set[date], book: FaultBook) -> None:
    span = first_and_days(own)
    if span is None:
        return
    first, days = span
    if not _FIRST_YEAR <= first.year <= _LAST_YEAR:
        return
    wanted = [first + timedelta(days=offset) for offset in range(days)]
    lacking = [day.isoformat() for day in wanted if day not in seen]
    if lacking:
        allowed = f"a forecast day for each day from {wanted[0]} to {wanted[-1]}"
        book.add("forecast-too-short", ("forecast", "days"), f"no forecast for {listed(lacking)}", allowed)


def _check_rain(path: TomlPath, hours: str, book: FaultBook) -> None:
    """Each end is a time of day (24:00 may end it); an end not after the start is on the next day."""
    clocks = [clock.split(":") for clock in hours.split("-")]
    if len(clocks) != 2 or not all(len(clock) == 2 and "".join(clock).isdecimal() for clock in clocks):
        return  # the shape's own fault
    (start, start_min), (finish, finish_min) = ((int(hour), int(minute)) for hour, minute in clocks)
    ends_well = finish < 24 or (finish, finish_min) == (24, 0)
    if start > 23 or start_min > 59 or finish_min > 59 or not ends_well:
        book.add("forecast-rain", path, shown(hours), "times from 00:00 to 24:00")
