"""What tests of the ensemble share: made-up and real forecasts, and bounds of sampling errors.

Sampling errors are worked out, not guessed. For M members and independent draws of standard deviation s the mean has
a standard error s/√M and the standard deviation one of about s/√(2(M−1)); bounds are 4.5 of these, which a true
generator passes in all but seven of a million draws.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from planner.weather import HourlySeries
from planner.weather.ensemble_errors import ErrorModel
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, station

LONDON = ZoneInfo("Europe/London")
START = datetime(2026, 3, 20, tzinfo=UTC)
YEARS = {name: station(name) for name in (GREENSBORO, SAND_POINT)}
BOUND = 4.5
MEMBERS = 2000
AIR_ONLY = ErrorModel(swing_per_day=0.0, least_swing=0.0)


def forecast(days: int = 14, swing_k: float = 4.0, **more: Any) -> HourlySeries:
    """Return made-up days with their low at 05:00 and high at 17:00, and a spell of rain each third day."""
    at = np.arange(days * 24, dtype=float)
    rain = np.where((at % 72 >= 30) & (at % 72 < 34), 0.8, 0.0)
    plain = {
        "air_c": 8.0 - swing_k * np.cos(2 * np.pi * (at - 5) / 24),
        "humidity_pct": np.full(len(at), 75.0),
        "rain_mm": rain,
        "wind_ms": np.full(len(at), 4.0),
        "cloud_pct": np.full(len(at), 50.0),
        "issued": START,
    }
    return HourlySeries(START, **{**plain, **more})


def real(name: str = GREENSBORO, first: int = 24 * 60, hours: int = 24 * 14) -> HourlySeries:
    """Return two weeks of a station-year as a forecast."""
    part = YEARS[name].hours[first : first + hours]
    names = ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")
    return HourlySeries(START, **{one: np.array([getattr(hour, one) for hour in part]) for one in names})
