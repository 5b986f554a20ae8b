"""Puts a new forecast in the old one's place, but only one that can be read; else the old file stays as it is."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from planner.jobfile.write import save_bytes
from planner.weather.series import HourlySeries
from planner.weather.services import forecast_series


def replace_forecast(
    path: Path | str,
    data: bytes,
    zone: ZoneInfo,
    *,
    source: str = "",
    issued: datetime | None = None,
    columns: str = "",
) -> HourlySeries:
    """Read the forecast in `data`, then write it to the file at `path`, wholly or not at all; return the series.

    The bytes are kept as they came. ForecastError with all faults, or OSError where the disk refuses; in either case
    the file at `path` is what it was.
    """
    series = forecast_series(data, str(path), zone, source=source or Path(path).name, issued=issued, columns=columns)
    save_bytes(path, data)
    return series
