"""Hours of a series in the words of the site's clock; no Qt."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from app.board.clock import DAYS, MONTHS, is_repeated
from planner.weather.series import HOUR, HourlySeries


def hour_words(series: HourlySeries, index: int, zone: ZoneInfo) -> str:
    """Return "Thu 8 Apr 14:00", with the clock's name in the hour that comes twice."""
    return moment_words(series.hour(index), zone)


def moment_words(moment: datetime, zone: ZoneInfo) -> str:
    """Return an aware moment as the site's clock shows it."""
    local = moment.astimezone(zone)
    name = f" {local.tzname()}" if is_repeated(local) else ""
    return f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} {local:%H:%M}{name}"


def index_at(series: HourlySeries, moment: datetime) -> int:
    """Return the index of the first hour at or after an aware moment; it may lie outside the series."""
    return -((series.start - moment) // HOUR)


def next_weekday_evening(after: datetime, weekday: int, hour: int, zone: ZoneInfo) -> datetime:
    """Return the UTC instant of the first `weekday` (0 = Monday) at `hour` local at or after an aware moment."""
    local = after.astimezone(zone)
    day = local.date() + timedelta(days=(weekday - local.weekday()) % 7)
    found = datetime(day.year, day.month, day.day, hour, tzinfo=zone)
    if found < after:
        day += timedelta(days=7)
        found = datetime(day.year, day.month, day.day, hour, tzinfo=zone)
    return found.astimezone(UTC)
