"""The forecast that is being looked at: one frozen snapshot, and the changes that make another; no Qt."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault
from planner.jobfile.load import LoadedJob
from planner.weather.csv_numbers import RANGES, read_number
from planner.weather.dew import dew_point_c, humidity_pct
from planner.weather.plausible import impossible
from planner.weather.series import COLUMNS, HourlySeries

_EDITED = "edited by hand from "
NAMES = {
    "air_c": "Air",
    "humidity_pct": "Humidity",
    "rain_mm": "Rain",
    "wind_ms": "Wind",
    "cloud_pct": "Cloud",
}
UNITS = {"air_c": "°C", "humidity_pct": "%", "rain_mm": "mm", "wind_ms": "m/s", "cloud_pct": "%"}


class EditError(ValueError):
    """A change that makes no weather; its words are for the user."""


@dataclass(frozen=True, eq=False)
class Snapshot:
    """A series, and the one that was read before anybody changed it by hand; both have the same hours."""

    series: HourlySeries
    origin: HourlySeries

    @property
    def is_edited(self) -> bool:
        """Whether anything was changed by hand."""
        return self.series is not self.origin

    def changed(self, column: str) -> np.ndarray:
        """Return where a column differs from what was read, shape (hours,)."""
        now, then = getattr(self.series, column), getattr(self.origin, column)
        return ~((now == then) | (np.isnan(now) & np.isnan(then)))

    @property
    def hours_changed(self) -> int:
        """Number of hours in which any column was changed."""
        return int(np.any([self.changed(column) for column in COLUMNS], axis=0).sum()) if self.is_edited else 0


@dataclass(frozen=True)
class Shift:
    """Warmer or colder by `by_k` [K] at hours first..last (indexes of the series, both included).

    keep_dew: the air keeps its water, so that its relative humidity follows; else it keeps its relative humidity.
    """

    first: int
    last: int
    by_k: float
    keep_dew: bool = True


def as_read(series: HourlySeries) -> Snapshot:
    """Return a series that nobody has changed yet."""
    return Snapshot(series, series)


def as_loaded(loaded: LoadedJob) -> Snapshot:
    """Return a job's own forecast; source and time of issue that only the job file states go with it."""
    series, weather = loaded.series, loaded.weather
    return as_read(replace(series, source=weather.source, issued=weather.issued))


def with_cell(snapshot: Snapshot, column: str, hour: int, text: str, zone: ZoneInfo | None = None) -> Snapshot:
    """Return the snapshot with one value typed anew; EditError where the text is no such value.

    zone: the site's, in whose time an error names hours; in UTC, and said so, where left out.
    """
    value = read_number(text.strip().replace("−", "-"), column, 0, comma_is_point=True)
    if isinstance(value, Fault):
        raise EditError(f"{NAMES[column]} is {value.allowed}; {value.found} was typed.")
    if np.isnan(value):
        raise EditError(f"{NAMES[column]} needs a value: an hour without one can't be planned on.")
    values = getattr(snapshot.series, column).copy()
    values[hour] = value
    return _edited(snapshot, {column: values}, zone)


def shifted(snapshot: Snapshot, shift: Shift, zone: ZoneInfo | None = None) -> Snapshot:
    """Return the snapshot with the air warmer or colder; EditError where that leaves what air can be.

    Where the dew point is kept and the air falls below it, the air is saturated (100 %) and the rest has condensed.
    zone: as in `with_cell`.
    """
    series = snapshot.series
    hours = slice(max(0, shift.first), shift.last + 1)
    air, humidity = series.air_c.copy(), series.humidity_pct.copy()
    dew = dew_point_c(air[hours], humidity[hours])
    air[hours] += shift.by_k
    low, high = RANGES["air_c"]
    if air[hours].size == 0 or np.isnan(air[hours]).all():
        raise EditError("There is no hour of the forecast between these times.")
    if np.nanmin(air[hours]) < low or np.nanmax(air[hours]) > high:
        raise EditError(f"The air would leave {low:g} to {high:g} °C.")
    if shift.keep_dew:
        humidity[hours] = humidity_pct(air[hours], dew)
    return _edited(snapshot, {"air_c": air, "humidity_pct": humidity}, zone)


def edited_source(origin: HourlySeries) -> str:
    """Return the source of a series edited by hand."""
    source = origin.source or "a forecast without a source"
    return source if source.startswith(_EDITED) else f"{_EDITED}{source}"


def _edited(snapshot: Snapshot, columns: dict[str, Any], zone: ZoneInfo | None) -> Snapshot:
    series = replace(snapshot.series, **columns, source=edited_source(snapshot.origin))
    faults = impossible(series, zone)
    if faults:
        raise EditError(f"{faults[0].found}; allowed: {faults[0].allowed}.")
    return Snapshot(series, snapshot.origin)
