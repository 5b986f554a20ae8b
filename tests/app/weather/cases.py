"""Small forecasts and sessions for tests of the Weather view."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from app.board.facts import Visit
from app.weather.chart_data import ChartData, ChosenLimits, StripRow, dew_at_hours, hour_slots
from planner.units import SiteTime
from planner.weather.series import HourlySeries

LONDON = ZoneInfo("Europe/London")
START = datetime(2027, 3, 22, tzinfo=UTC)
TIME = SiteTime(date(2027, 3, 22), 7, LONDON)
"""Seven days from a Monday; the clocks go forward in the last night."""


def made(hours: int = 169, start: datetime = START, seed: int = 1, **columns: np.ndarray) -> HourlySeries:
    """Return a series drawn by lot; columns given are taken as they are."""
    random = np.random.default_rng(seed)
    values = {
        "air_c": np.round(8 + 4 * np.sin(np.arange(hours) / 24 * 2 * np.pi) + random.normal(0, 1, hours), 1),
        "humidity_pct": np.round(random.uniform(50, 95, hours)),
        "rain_mm": np.round(np.maximum(0, random.normal(-1, 1, hours)), 1),
        "wind_ms": np.round(random.uniform(0, 9, hours), 1),
        "cloud_pct": np.round(random.uniform(0, 100, hours)),
    }
    return HourlySeries(start, **{**values, **columns}, source="made for a test", issued=start - timedelta(hours=6))


def chart(series: HourlySeries | None = None, limits: ChosenLimits | None = None, **changes: object) -> ChartData:
    """Return chart data with two surfaces, and two gangs with three bars."""
    series = series or made()
    at = np.arange(TIME.horizon + 1)
    surface = np.interp(at, hour_slots(series, TIME), np.nan_to_num(series.air_c, nan=5.0)) + 1
    rows = (
        StripRow(
            "Coating gang", "C", 0, (Visit("E1/prime", "Prime", 0, 40, 48), Visit("E1/coat", "Coat", 0, 60, 72))
        ),
        StripRow("Night gang", "N", 1, (Visit("E2/saw", "Saw out", 1, 100, 120),)),
    )
    data = ChartData(
        time=TIME,
        series=series,
        hours_at=hour_slots(series, TIME),
        dew_c=dew_at_hours(series),
        standing=None,
        standing_at=np.zeros(0),
        surfaces=(("0.3 m", surface), ("1 m", surface + 1)),
        main=0,
        rows=rows,
        daylight=tuple((96 * day + 24, 96 * day + 74) for day in range(7)),
        limits=limits or ChosenLimits(),
    )
    return replace(data, **changes)  # type: ignore[arg-type]
