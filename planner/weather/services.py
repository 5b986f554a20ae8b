"""Reads a forecast from a file of any kind that we know: by what is in it, never by its name."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from planner.errors import Fault, ForecastError
from planner.weather.forecast_bytes import kind_of, read_bytes
from planner.weather.hourly_csv import csv_series, issued_in_utc
from planner.weather.json_location import is_location, location_series
from planner.weather.json_model import is_model, model_members, model_series
from planner.weather.json_text import parse_json, refusal
from planner.weather.plausible import impossible
from planner.weather.series import HourlySeries


def read_forecast(
    path: Path | str, zone: ZoneInfo, *, source: str = "", issued: datetime | None = None, columns: str = ""
) -> HourlySeries:
    """Return the hourly series in the file at `path`: a CSV sheet, or the JSON of a forecast service.

    zone: the site's, for times without an offset. source, issued: what is known of the forecast, where the file
    itself does not say it. columns: which column of a sheet is what, as `parse_columns` reads it.
    Gaps too long to fill stay gaps (NaN) and are said in the notes. Raises ForecastError with all faults.
    """
    file = Path(path)
    data = read_bytes(file)
    if isinstance(data, Fault):
        raise ForecastError(str(path), [data])
    return forecast_series(data, str(path), zone, source=source or file.name, issued=issued, columns=columns)


def forecast_series(
    data: bytes, name: str, zone: ZoneInfo, *, source: str = "", issued: datetime | None = None, columns: str = ""
) -> HourlySeries:
    """Return the hourly series in the bytes of a forecast called `name`; see `read_forecast`."""
    series = _series(data, name, zone, source, issued, columns)
    faults = impossible(series, zone)
    if faults:
        raise ForecastError(name, faults)
    return series


def _series(
    data: bytes, name: str, zone: ZoneInfo, source: str, issued: datetime | None, columns: str
) -> HourlySeries:
    kind = kind_of(data)
    if isinstance(kind, Fault):
        raise ForecastError(name, [kind])
    if kind == "csv":
        return csv_series(data, name, zone, source=source, issued=issued, columns=columns, keep_gaps=True)
    top = _json_object(data, name)
    known = issued_in_utc(issued, zone)
    read = location_series if is_location(top) else model_series
    series = read(top, name, zone, source=source, issued=known)
    return columns_passed_over(series, columns, "JSON, which names its values and units itself")


def columns_passed_over(series: HourlySeries, columns: str, kind: str) -> HourlySeries:
    """Return the series of a forecast that has no columns, with a note where a person said which is what."""
    if not columns.strip():
        return series
    note = f"What was said of columns ({columns.strip()}) is passed over: this forecast is {kind}."
    return replace(series, notes=(*series.notes, note))


def member_series(
    data: bytes, name: str, zone: ZoneInfo, *, source: str = "", issued: datetime | None = None
) -> tuple[HourlySeries, ...]:
    """Return a series for each member that the forecast carries; one for a forecast without members."""
    kind = kind_of(data)
    if kind == "json":
        top = _json_object(data, name)
        if is_model(top):
            known = issued_in_utc(issued, zone)
            return tuple(
                model_series(top, name, zone, source=source, issued=known, member=member)
                for member in model_members(top) or ("",)
            )
    return (forecast_series(data, name, zone, source=source, issued=issued),)


def _json_object(data: bytes, name: str) -> dict[str, Any]:
    """Return the answer as an object of a shape that we know; else ForecastError."""
    top = parse_json(data)
    if isinstance(top, list) and len(top) == 1:
        top = top[0]
    if isinstance(top, Fault):
        raise ForecastError(name, [top])
    if isinstance(top, dict) and (is_location(top) or is_model(top)):
        return top
    raise ForecastError(name, [(refusal(top) if isinstance(top, dict) else None) or _unknown_shape(top)])


def _unknown_shape(top: Any) -> Fault:
    keys = ", ".join(map(str, top))[:200] if isinstance(top, dict) else ""
    found = f"JSON with {keys or 'nothing we know'}"
    allowed = "the JSON of an hourly model (hourly.time, …) or of a location forecast (properties.timeseries)"
    daily = isinstance(top, dict) and "daily" in top
    hint = (
        "Ask for hourly values, not daily ones." if daily else "Ask the service for the hourly forecast of a point."
    )
    return Fault("forecast-kind", "answer", None, found, allowed, hint)
