"""The compact location forecast of a national met service: a list of instants, hourly at first, then six-hourly.

Shape: {"geometry": {"coordinates"}, "properties": {"meta": {"updated_at", "units"}, "timeseries": [{"time",
"data": {"instant": {"details"}, "next_1_hours": {"details"}, "next_6_hours": {"details"}}}]}}. Times are in UTC;
precipitation is what falls in the one or six hours that *begin* at its time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault, ForecastError
from planner.weather.header_map import OPTIONAL
from planner.weather.json_grid import json_series, on_grid, time_faults
from planner.weather.json_text import credit, json_number, json_time, unit_stated
from planner.weather.like_faults import capped
from planner.weather.series import COLUMNS, HOUR, Floats, HourlySeries, in_utc
from planner.weather.weather_units import Unit, own_unit

_KEYS = {
    "air_c": "air_temperature",
    "humidity_pct": "relative_humidity",
    "rain_mm": "precipitation_amount",
    "wind_ms": "wind_speed",
    "cloud_pct": "cloud_area_fraction",
}
_STEPS = "properties.timeseries"
_WIDE_H = 6
_TRACE_MM = 0.1
"""The rain of an hour from which it counts as wet."""


@dataclass
class _Told:
    """What the list says, instant by instant, and the faults in it. rain_1h, rain_6h [mm]: from that instant on."""

    instants: list[datetime] = field(default_factory=list)
    values: dict[str, list[float]] = field(default_factory=dict)
    rain_1h: list[float] = field(default_factory=list)
    rain_6h: list[float] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def is_location(top: dict[str, Any]) -> bool:
    """Say whether an answer has the shape of a compact location forecast."""
    properties = top.get("properties")
    return isinstance(properties, dict) and isinstance(properties.get("timeseries"), list)


def location_series(
    top: dict[str, Any], name: str, zone: ZoneInfo, *, source: str, issued: datetime | None
) -> HourlySeries:
    """Return the series in the answer `top`, read from a file called `name`; its own time of issue goes first.

    Beyond the hourly part, hours between six-hourly values are filled on a straight line, and a note says from when:
    on two station-years of measured hours that is 0.6 and 1.3 K out (root mean square), worst near a day's low and
    high (up to 8 K). Six hours' rain is spread evenly, and none of them is under 0.1 mm where the sum is not, so
    that no wet hour is taken for a dry one. Wider steps stay gaps. Cloud left out is 60 %.
    Raises ForecastError with all faults.
    """
    meta = top["properties"].get("meta")
    meta = meta if isinstance(meta, dict) else {}
    units, faults, notes = _units(meta)
    told = _told(top["properties"]["timeseries"], units)
    faults += told.faults or list(time_faults(told.instants, _STEPS + "[{}].time"))
    faults += [] if faults else list(_empty_columns(told))
    own_issue, wrong = _issued(meta)
    faults += wrong
    if faults:
        raise ForecastError(name, capped(faults))
    grid = {column: on_grid(told.instants, values) for column, values in told.values.items()}
    if np.isnan(grid["cloud_pct"]).all():
        grid["cloud_pct"][:] = OPTIONAL["cloud_pct"]
        notes.append(f"No {_KEYS['cloud_pct']} in the forecast: {OPTIONAL['cloud_pct']:g} % in every hour.")
    grid["rain_mm"] = _rain_mm(told, len(grid["air_c"]))
    wide = _wide_from(told.instants)
    return json_series(
        told.instants[0],
        grid,
        zone,
        source=source,
        issued=own_issue or issued,
        attribution=credit(top, top["properties"], meta),
        notes=(*notes, *_wide_note(told.instants, wide, zone)),
        wide_from=wide,
    )


def _units(meta: dict[str, Any]) -> tuple[dict[str, Unit], list[Fault], list[str]]:
    stated = meta.get("units")
    stated = stated if isinstance(stated, dict) else {}
    units: dict[str, Unit] = {}
    faults: list[Fault] = []
    notes: list[str] = []
    for column, key in _KEYS.items():
        read = unit_stated(column, stated.get(key), f"properties.meta.units.{key}")
        if isinstance(read, Fault):
            faults.append(read)
        units[column] = own_unit(column) if isinstance(read, Fault) else read[0]
        if not isinstance(read, Fault) and not read[1]:
            notes.append(f"No unit is stated for {key}: read as {units[column].name}.")
    return units, faults, notes


def _issued(meta: dict[str, Any]) -> tuple[datetime | None, list[Fault]]:
    text = meta.get("updated_at")
    if text is None:
        return None, []
    moment = json_time(text, "properties.meta.updated_at")
    if isinstance(moment, Fault):
        return None, [moment]
    return (in_utc(moment) if moment.tzinfo else None), []


def _told(steps: Sequence[Any], units: dict[str, Unit]) -> _Told:
    told = _Told(values={column: [] for column in COLUMNS if column != "rain_mm"})
    if len(steps) < 2:
        hint = "Fetch it again."
        told.faults.append(Fault("forecast-empty", _STEPS, None, f"{len(steps)} instants", "a list of hours", hint))
    for index, step in enumerate(steps):
        path = f"{_STEPS}[{index}]"
        moment = json_time(step.get("time") if isinstance(step, dict) else None, f"{path}.time")
        if isinstance(moment, datetime) and moment.tzinfo is None:
            allowed = "a time with Z or an offset"
            moment = Fault("forecast-time", f"{path}.time", None, str(step["time"]), allowed, "Fetch it again.")
        if isinstance(moment, Fault):
            told.faults.append(moment)
            continue
        told.instants.append(moment)
        _read_step(told, step.get("data"), f"{path}.data", units)
    return told


def _read_step(told: _Told, data: Any, path: str, units: dict[str, Unit]) -> None:
    for column, values in told.values.items():
        values.append(_number(told, data, "instant", column, path, units))
    told.rain_1h.append(_number(told, data, "next_1_hours", "rain_mm", path, units))
    told.rain_6h.append(_number(told, data, "next_6_hours", "rain_mm", path, units))


def _number(told: _Told, data: Any, block: str, column: str, path: str, units: dict[str, Unit]) -> float:
    """Return one number of an instant, NaN where it is not there; what is wrong with it goes to the faults."""
    place: Any = data
    for key in (block, "details"):
        place = place.get(key) if isinstance(place, dict) else None
    value = place.get(_KEYS[column]) if isinstance(place, dict) else None
    read = json_number(value, column, units[column], f"{path}.{block}.details.{_KEYS[column]}")
    if isinstance(read, Fault):
        told.faults.append(read)
        return float("nan")
    return read


def _empty_columns(told: _Told) -> Iterator[Fault]:
    given = {**told.values, "rain_mm": [*told.rain_1h, *told.rain_6h]}
    for column in COLUMNS:
        if column not in OPTIONAL and np.isnan(given[column]).all():
            hint = "Ask for the compact forecast with all its values."
            found = f"no {_KEYS[column]} in any of {len(told.instants)} instants"
            yield Fault("forecast-columns", _STEPS, None, found, f"{_KEYS[column]} at every instant", hint)


def _rain_mm(told: _Told, hours: int) -> Floats:
    """Return rain by the hour that begins: of one hour where given, else an even share of six hours' rain."""
    rain = np.full(hours, np.nan)
    at = [(instant - told.instants[0]) // HOUR for instant in told.instants]
    for index, first in enumerate(at):
        one, six = told.rain_1h[index], told.rain_6h[index]
        after = at[index + 1] if index + 1 < len(at) else hours
        if not np.isnan(one):
            rain[first] = one
            first += 1
        if not np.isnan(six) and first < after:
            share = (six - (0.0 if np.isnan(one) else one)) / (_WIDE_H - (not np.isnan(one)))
            rain[first : min(after, at[index] + _WIDE_H)] = max(share, _TRACE_MM if six >= _TRACE_MM else 0.0)
    return rain


def _wide_from(instants: Sequence[datetime]) -> int | None:
    """Return the hour from which values come in steps wider than one hour to the end, or None."""
    steps = [(after - before) // HOUR for before, after in pairwise(instants)]
    last_hourly = max((index for index, step in enumerate(steps) if step == 1), default=-1)
    if last_hourly + 1 == len(steps):
        return None
    return (instants[last_hourly + 1] - instants[0]) // HOUR


def _wide_note(instants: Sequence[datetime], wide: int | None, zone: ZoneInfo) -> tuple[str, ...]:
    if wide is None:
        return ()
    begins = instants[0] + wide * HOUR
    later = [instant for instant in instants if instant >= begins]
    widest = max((after - before) // HOUR for before, after in pairwise(later))
    between = (later[-1] - later[0]) // HOUR + 1 - len(later)
    return (
        f"From {begins.astimezone(zone):%Y-%m-%d %H:%M} on there is a value only every {widest} hours: the {between} "
        f"hours between run straight, about 1 K out and up to 8 K near a day's low or high; rain is spread evenly.",
    )
