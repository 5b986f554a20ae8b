"""An ensemble's answer as the hourly model service gives it: steady mild members, each a little off."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any


def answer(first: date, hours: int, offsets: Sequence[float], air_c: float = 10.0) -> dict[str, Any]:
    """Return the answer from the first day's midnight, UTC + 1 h, on; the first member has the plain names."""
    begin = datetime.combine(first, datetime.min.time())
    hourly: dict[str, Any] = {"time": [(begin + timedelta(hours=h)).strftime("%Y-%m-%dT%H:%M") for h in range(hours)]}
    units = {"time": "iso8601"}
    for number, offset in enumerate(offsets):
        ending = "" if number == 0 else f"_member{number:02d}"
        for name, value, unit in (
            ("temperature_2m", air_c + offset, "°C"),
            ("relative_humidity_2m", 80.0, "%"),
            ("precipitation", 0.0, "mm"),
            ("wind_speed_10m", 3.0, "m/s"),
            ("cloud_cover", 60.0, "%"),
        ):
            hourly[name + ending] = [value] * hours
            units[name + ending] = unit
    return {"utc_offset_seconds": 3600, "hourly_units": units, "hourly": hourly}
