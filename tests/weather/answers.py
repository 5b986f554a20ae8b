"""Made-up answers of the two kinds of forecast service, in the shapes that they have."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

START = datetime(2026, 3, 28, tzinfo=UTC)


def model_answer(hours: int = 48, offset_s: int = 0, start: datetime = START, **more: Any) -> dict[str, Any]:
    """Return an hourly model service's answer; times on its fixed clock. more: other arrays, or None to leave out."""
    walls = [start + timedelta(hours=n, seconds=offset_s) for n in range(hours)]
    hourly: dict[str, Any] = {
        "time": [f"{wall:%Y-%m-%dT%H:%M}" for wall in walls],
        "temperature_2m": [5.0 + n % 24 / 4 for n in range(hours)],
        "relative_humidity_2m": [80] * hours,
        "precipitation": [0.0] * hours,
        "cloud_cover": [40] * hours,
        "wind_speed_10m": [18.0] * hours,
    }
    hourly = {name: values for name, values in {**hourly, **more}.items() if values is not None}
    units = {
        "time": "iso8601",
        "temperature_2m": "°C",
        "relative_humidity_2m": "%",
        "precipitation": "mm",
        "cloud_cover": "%",
        "wind_speed_10m": "km/h",
    }
    return {
        "latitude": 54.6,
        "longitude": -2.7,
        "elevation": 210.0,
        "utc_offset_seconds": offset_s,
        "timezone": "GMT" if not offset_s else "Europe/London",
        "hourly_units": units,
        "hourly": hourly,
    }


def location_step(moment: datetime, number: int, hourly: bool, rain_mm: float = 0.0) -> dict[str, Any]:
    """Return one instant of a location forecast."""
    details = {
        "air_temperature": 5.0 + number / 10,
        "relative_humidity": 80.0,
        "cloud_area_fraction": 30.0,
        "wind_speed": 4.0,
        "wind_from_direction": 200.0,
    }
    block = "next_1_hours" if hourly else "next_6_hours"
    return {
        "time": f"{moment:%Y-%m-%dT%H:%M:%SZ}",
        "data": {"instant": {"details": details}, block: {"details": {"precipitation_amount": rain_mm}}},
    }


def location_answer(hourly: int = 48, six_hourly: int = 8, start: datetime = START) -> dict[str, Any]:
    """Return a compact location forecast: instants each hour, then each six hours, the last without rain."""
    moments = [start + timedelta(hours=n) for n in range(hourly)]
    moments += [start + timedelta(hours=hourly + 6 * n) for n in range(six_hourly)]
    steps = [location_step(moment, n, n < hourly) for n, moment in enumerate(moments)]
    steps[-1]["data"] = {"instant": steps[-1]["data"]["instant"]}
    units = {
        "air_temperature": "celsius",
        "relative_humidity": "%",
        "cloud_area_fraction": "%",
        "precipitation_amount": "mm",
        "wind_speed": "m/s",
    }
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-2.7, 54.6, 210]},
        "properties": {"meta": {"updated_at": "2026-03-27T22:40:12Z", "units": units}, "timeseries": steps},
    }
