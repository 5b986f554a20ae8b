"""The forecast as hourly values on one axis: what every reader makes and every calculation starts from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
HOUR = timedelta(hours=1)
COLUMNS = ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")


@dataclass(frozen=True, eq=False)
class HourlySeries:
    """Hourly weather from `start` (UTC; a whole hour of the site's clock). All arrays have the same length n.

    air_c [°C], humidity_pct [%], wind_ms [m/s] and cloud_pct [%] are values at the hour; rain_mm[i] [mm] is what
    falls in the hour that begins at hour i. NaN is a missing value. notes: what a reader had to fill in, in words.
    attribution: what the forecast's giver wants to be shown beside it.
    """

    start: datetime
    air_c: Floats
    humidity_pct: Floats
    rain_mm: Floats
    wind_ms: Floats
    cloud_pct: Floats
    source: str = ""
    issued: datetime | None = None
    notes: tuple[str, ...] = ()
    attribution: str = ""

    def __post_init__(self) -> None:
        if self.start.utcoffset() != timedelta(0):
            raise ValueError(f"the start of an hourly series is in UTC, not {self.start.isoformat()}")
        lengths = {name: len(getattr(self, name)) for name in COLUMNS}
        if len(set(lengths.values())) != 1 or self.hours == 0:
            raise ValueError(f"all columns of an hourly series have the same length, at least 1, not {lengths}")

    @property
    def hours(self) -> int:
        """Number of hourly values."""
        return len(self.air_c)

    @property
    def last(self) -> datetime:
        """UTC instant of the last value."""
        return self.start + (self.hours - 1) * HOUR

    def hour(self, index: int) -> datetime:
        """Return the UTC instant of value `index`."""
        return self.start + index * HOUR


def in_utc(moment: datetime) -> datetime:
    """Return an aware `moment` in UTC; ValueError for a naive one."""
    if moment.tzinfo is None:
        raise ValueError(f"{moment.isoformat()} has no time zone")
    return moment.astimezone(UTC)


def same_weather(one: HourlySeries, other: HourlySeries) -> bool:
    """Say whether two series say the same, hour by hour; wherever they come from."""
    if one is other:
        return True
    alike = (one.start, one.hours) == (other.start, other.hours)
    return alike and all(np.array_equal(getattr(one, n), getattr(other, n), equal_nan=True) for n in COLUMNS)
