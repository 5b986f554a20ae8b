"""The answer of an open hourly model service: parallel arrays under "hourly", with their units beside them.

Shape: {"utc_offset_seconds", "hourly_units": {name: unit}, "hourly": {"time": [...], "temperature_2m": [...], ...}}.
Times without offset are on a fixed clock, "utc_offset_seconds" ahead of UTC, also beyond a clock change; so they are
not read as the site's wall times. Precipitation is the sum of the hour *before* its time.
An ensemble's members stand beside the plain name as temperature_2m_member01 and so on.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault, ForecastError
from planner.weather.csv_times import TimeReader
from planner.weather.header_map import OPTIONAL
from planner.weather.json_grid import json_series, on_grid, time_faults
from planner.weather.json_text import credit, json_number, json_time, unit_stated
from planner.weather.like_faults import capped
from planner.weather.series import COLUMNS, Floats, HourlySeries
from planner.weather.weather_units import own_unit

_KEYS = {
    "air_c": ("temperature_2m",),
    "humidity_pct": ("relative_humidity_2m", "relativehumidity_2m"),
    "rain_mm": ("precipitation",),
    "wind_ms": ("wind_speed_10m", "windspeed_10m"),
    "cloud_pct": ("cloud_cover", "cloudcover"),
}
"""The service's names, newest first. Wind is at 10 m."""

_MEMBER = re.compile(r"temperature_2m(_member\d{2,3})")
_LONGEST_OFFSET_S = 16 * 3600


@dataclass(frozen=True)
class _Told:
    """The values of one member by column, and notes on what was not stated."""

    values: dict[str, list[float]]
    notes: tuple[str, ...]


def is_model(top: dict[str, Any]) -> bool:
    """Say whether an answer has the shape of the hourly model service's."""
    return isinstance(top.get("hourly"), dict)


def model_members(top: dict[str, Any]) -> tuple[str, ...]:
    """Return the endings of the member names in an ensemble's answer: "" for the plain one, "_member01" and so on."""
    found = (_MEMBER.fullmatch(name) for name in top["hourly"])
    plain = [""] if _KEYS["air_c"][0] in top["hourly"] else []
    return (*plain, *sorted(match[1] for match in found if match))


def model_series(
    top: dict[str, Any], name: str, zone: ZoneInfo, *, source: str, issued: datetime | None, member: str = ""
) -> HourlySeries:
    """Return the series of one member in the answer `top`, read from a file called `name`.

    The answer does not say when the forecast was issued: `issued` is what the caller knows. Cloud left out is 60 %.
    Raises ForecastError with all faults.
    """
    times = top["hourly"].get("time")
    instants, faults = _instants(top, zone)
    told, wrong = _told(top, member, len(times) if isinstance(times, list) and times else None)
    faults += wrong
    if faults:
        raise ForecastError(name, capped(faults))
    grid = {column: on_grid(instants, values) for column, values in told.values.items()}
    grid["rain_mm"] = _begun(grid["rain_mm"])
    return json_series(
        instants[0], grid, zone, source=source, issued=issued, attribution=credit(top), notes=told.notes
    )


def _begun(ended_mm: Floats) -> Floats:
    """Return rain by the hour that begins, from rain by the hour that has ended; the last is not known."""
    return np.append(ended_mm[1:], np.nan)


def _instants(top: dict[str, Any], zone: ZoneInfo) -> tuple[list[datetime], list[Fault]]:
    times = top["hourly"].get("time")
    if not isinstance(times, list) or len(times) < 2:
        return [], [
            _fault("forecast-empty", "hourly.time", _size(times), "a list of hours", "Ask for hourly values.")
        ]
    offset = top.get("utc_offset_seconds")
    if offset is not None and (not isinstance(offset, int | float) or not abs(offset) <= _LONGEST_OFFSET_S):
        hint = "Ask for times in UTC."
        return [], [_fault("forecast-time", "utc_offset_seconds", repr(offset)[:80], "seconds ahead of UTC", hint)]
    reader = TimeReader(zone)
    read = [_instant(value, f"hourly.time[{i}]", offset, reader) for i, value in enumerate(times)]
    faults = [one for one in read if isinstance(one, Fault)]
    instants = [one for one in read if isinstance(one, datetime)]
    return instants, faults or list(time_faults(instants, "hourly.time[{}]"))


def _instant(value: Any, path: str, offset_s: float | None, reader: TimeReader) -> datetime | Fault:
    """Read one time: seconds since 1970, or ISO with an offset, on the stated fixed clock, or else the site's."""
    if isinstance(value, int) and not isinstance(value, bool):
        try:
            return json_time(datetime.fromtimestamp(value, UTC).isoformat(), path)
        except (OverflowError, ValueError, OSError):
            return _fault("forecast-time", path, repr(value)[:80], "seconds since 1970", "Fetch it again.")
    moment = json_time(value, path)
    if isinstance(moment, Fault) or moment.tzinfo is not None:
        return moment
    if offset_s is not None:
        return moment.replace(tzinfo=UTC) - timedelta(seconds=offset_s)
    wall = reader.read(moment.isoformat(), 0)
    return (
        _fault(wall.code, path, wall.found, wall.allowed, "Ask for times in UTC.")
        if isinstance(wall, Fault)
        else wall
    )


def _told(top: dict[str, Any], member: str, length: int | None) -> tuple[_Told, list[Fault]]:
    values: dict[str, list[float]] = {}
    faults: list[Fault] = []
    notes: list[str] = []
    for column in COLUMNS:
        key = _key(top["hourly"], column, member)
        if key is None and column in OPTIONAL and length:
            values[column] = [OPTIONAL[column]] * length
            notes.append(f"No {_KEYS[column][0]} in the forecast: {OPTIONAL[column]:g} % in every hour.")
        elif key is None:
            faults.append(_no_key(top["hourly"], column))
        else:
            numbers, stated = _column(top, column, key, length)
            faults += [one for one in numbers if isinstance(one, Fault)]
            values[column] = [one for one in numbers if isinstance(one, float)]
            notes += [] if stated else [f"No unit is stated for {key}: read as {own_unit(column).name}."]
    return _Told(values, tuple(notes)), faults


def _key(hourly: dict[str, Any], column: str, member: str) -> str | None:
    """Return the name under which a column stands for a member; what a member does not have, the plain one has."""
    names = [f"{key}{member}" for key in _KEYS[column]] + list(_KEYS[column])
    return next((name for name in names if name in hourly), None)


def _column(top: dict[str, Any], column: str, key: str, length: int | None) -> tuple[Sequence[float | Fault], bool]:
    array, units, path = top["hourly"][key], top.get("hourly_units"), f"hourly.{key}"
    unit = unit_stated(column, units.get(key) if isinstance(units, dict) else None, f"hourly_units.{key}")
    if isinstance(unit, Fault):
        return [unit], True
    if not isinstance(array, list) or (length is not None and len(array) != length):
        allowed = f"a list of {length} values, one an hour"
        return [_fault("forecast-cells", path, _size(array), allowed, "Fetch it again.")], True
    return [json_number(value, column, unit[0], f"{path}[{i}]") for i, value in enumerate(array)], unit[1]


def _no_key(hourly: dict[str, Any], column: str) -> Fault:
    wanted = _KEYS[column][0]
    longer = [name for name in hourly if name.startswith(wanted)]
    hint = f"Ask for one model only, so that it is not {longer[0]}." if longer else f"Ask for {wanted} too."
    found = f"no {wanted} among {', '.join(map(str, hourly))[:200] or 'nothing'}"
    return _fault("forecast-columns", f"hourly.{wanted}", found, f"{wanted}, hour by hour", hint)


def _size(value: Any) -> str:
    return f"{len(value)} values" if isinstance(value, list) else f"{type(value).__name__}, no list"


def _fault(code: str, path: str, found: str, allowed: str, hint: str) -> Fault:
    return Fault(code, path, None, found, allowed, hint)
