"""A forecast with its doubt: members that each might come true, generated from one forecast or read from a file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault, ForecastError
from planner.weather.csv_numbers import RANGES
from planner.weather.dew import dew_point_c, humidity_pct
from planner.weather.ensemble_days import day_numbers, day_turns, in_order
from planner.weather.ensemble_errors import ErrorModel, correlated, grown
from planner.weather.ensemble_rain import rain_members
from planner.weather.forecast_bytes import read_bytes
from planner.weather.series import HOUR, Floats, HourlySeries
from planner.weather.services import member_series


@dataclass(frozen=True)
class Ensemble:
    """Members on one and the same hours; none is likelier than another. words: where they come from."""

    members: tuple[HourlySeries, ...]
    words: str

    def __post_init__(self) -> None:
        if not self.members:
            raise ValueError("an ensemble has at least one member")
        if len({(member.start, member.hours) for member in self.members}) != 1:
            raise ValueError("all members of an ensemble are of the same hours")

    @property
    def air_c(self) -> Floats:
        """Air temperature [members × hours, °C]."""
        return np.array([member.air_c for member in self.members])

    @property
    def air_sd_k(self) -> Floats:
        """Standard deviation of the members' air temperature, by hour [K]; 0 with one member."""
        found: Floats = self.air_c.std(axis=0, ddof=1) if len(self.members) > 1 else np.zeros(self.members[0].hours)
        return found

    @property
    def rain_chance(self) -> Floats:
        """Share of members with rain of 0.1 mm or more, by hour."""
        rain_mm = np.array([member.rain_mm for member in self.members])
        return np.asarray((rain_mm >= 0.1).mean(axis=0), dtype=np.float64)

    def air_quantile_c(self, share: float) -> Floats:
        """Return the air temperature [°C] below which `share` of the members lie, by hour."""
        return np.asarray(np.quantile(self.air_c, share, axis=0), dtype=np.float64)


def make_ensemble(
    series: HourlySeries,
    members: int,
    seed: int,
    zone: ZoneInfo,
    model: ErrorModel | None = None,
    known_until: datetime | None = None,
) -> Ensemble:
    """Return an ensemble about the forecast `series`, always the same for the same seed.

    Lead counts from the time of issue, or from the first hour where that is not known; hours before the issue are as
    given. The air's error is normal, grows with lead and is correlated in time; each local day's swing about its mean
    is stretched or squeezed; lows and highs keep their order (see `in_order`). The dew point follows the air in part
    and never passes it, so humidity stays in range and consistent. Wind has a lognormal factor of mean 1; cloud a
    normal error cut off at 0 and 100 %. Rain: see `rain_members`. Missing values stay missing.
    zone: the site's, for its days. known_until: the moment before which the weather has been, as given; where the
    time of issue is not known, lead counts from it. ValueError for fewer than one member.
    """
    if members < 1:
        raise ValueError(f"an ensemble has at least one member, not {members}")
    model, random = model or ErrorModel(), np.random.default_rng(seed)
    lead_h = _lead_h(series, known_until)
    error_k = model.air_sd_k(lead_h) * correlated(random, members, series.hours, model.air_memory_h)
    swung_c = _swung_c(random, series, lead_h, members, zone, model)
    turns, known = day_turns(series, zone), lead_h < 0.0
    air_c = _clipped("air_c", in_order(swung_c + error_k, series.air_c, turns, model.least_swing, known))
    columns = {
        "air_c": air_c,
        "humidity_pct": _humidity_pct(random, series, air_c, lead_h, model),
        "rain_mm": _clipped("rain_mm", rain_members(random, series.rain_mm, lead_h, members, model)),
        "wind_ms": _clipped("wind_ms", series.wind_ms * _wind_factor(random, lead_h, members, model)),
        "cloud_pct": _clipped("cloud_pct", series.cloud_pct + _cloud_error_pct(random, lead_h, members, model)),
    }
    made = tuple(
        replace(series, **{name: values[member] for name, values in columns.items()}) for member in range(members)
    )
    start = "the first hour" if known_until is None else "now"
    since = "the time of issue" if series.issued else f"{start}, since the time of issue is not known"
    return Ensemble(made, f"{members} members generated about one forecast, errors growing from {since}.")


def read_ensemble(path: Path | str, zone: ZoneInfo, *, source: str = "", issued: datetime | None = None) -> Ensemble:
    """Return the members that the forecast file at `path` carries; ForecastError where it has none or has faults."""
    file = Path(path)
    data = read_bytes(file)
    if isinstance(data, Fault):
        raise ForecastError(str(path), [data])
    found = member_series(data, str(path), zone, source=source or file.name, issued=issued)
    if len(found) < 2:
        allowed = "an ensemble's answer: temperature_2m_member01, temperature_2m_member02, …"
        hint = "Ask the service for its ensemble, or have members generated about this forecast."
        raise ForecastError(str(path), [Fault("forecast-members", "answer", None, "one forecast", allowed, hint)])
    hours = min(member.hours for member in found)
    cut = tuple(first_hours(member, hours) for member in found)
    return Ensemble(cut, f"{len(cut)} members of the forecast itself.")


def first_hours(series: HourlySeries, hours: int) -> HourlySeries:
    """Return the first `hours` hours of a series."""
    if hours == series.hours:
        return series
    names = ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")
    return replace(series, **{name: getattr(series, name)[:hours] for name in names})


def _lead_h(series: HourlySeries, known_until: datetime | None) -> Floats:
    """Return the lead of each hour [h], below 0 for those that have been."""
    issued = series.issued or known_until or series.start
    hours = np.arange(series.hours, dtype=np.float64)
    lead_h = hours + (series.start - issued) / HOUR
    if known_until is None:
        return lead_h
    return np.where(hours < (known_until - series.start) / HOUR, np.minimum(lead_h, -1.0), lead_h)


def _clipped(column: str, values: Floats) -> Floats:
    return np.clip(values, *RANGES[column])


def _swung_c(
    random: np.random.Generator, series: HourlySeries, lead_h: Floats, members: int, zone: ZoneInfo, model: ErrorModel
) -> Floats:
    """Return the forecast with each local day's swing about a running mean of 24 h stretched by its own factor.

    The factor has the mean 1 and runs straight from noon to noon, so that midnight has no step.
    """
    days = day_numbers(series, zone)
    middles = np.array([np.flatnonzero(days == day).mean() for day in np.unique(days)])
    spread = grown(np.interp(middles, np.arange(series.hours), lead_h), model.swing_per_day, model.swing_most)
    factors = np.exp(spread * random.standard_normal((members, len(middles))) - spread**2 / 2.0)
    factor = np.array([np.interp(np.arange(series.hours), middles, row) for row in factors])
    level_c = _running_mean(series.air_c)
    return level_c + np.where(lead_h < 0.0, 1.0, factor) * (series.air_c - level_c)


def _running_mean(values: Floats) -> Floats:
    """Return the mean of the 12 h on either side, the outermost by halves: a day's swing leaves no trace in it.

    Near the ends and at missing values the mean is of the hours that are there.
    """
    weights = np.ones(25)
    weights[[0, -1]] = 0.5
    there = ~np.isnan(values)
    total = np.convolve(np.where(there, values, 0.0), weights, mode="full")[12:-12]
    share = np.convolve(there.astype(float), weights, mode="full")[12:-12]
    return np.where(share > 0.0, total / np.maximum(share, 1e-12), values)


def _humidity_pct(
    random: np.random.Generator, series: HourlySeries, air_c: Floats, lead_h: Floats, model: ErrorModel
) -> Floats:
    own_k = model.dew_own_share * model.air_sd_k(lead_h)
    own = own_k * correlated(random, len(air_c), series.hours, model.air_memory_h)
    dew_c = dew_point_c(series.air_c, series.humidity_pct) + model.dew_follows * (air_c - series.air_c) + own
    made = humidity_pct(air_c, np.minimum(dew_c, air_c))
    return np.where(lead_h < 0.0, series.humidity_pct, made)


def _wind_factor(random: np.random.Generator, lead_h: Floats, members: int, model: ErrorModel) -> Floats:
    spread = grown(lead_h, model.wind_per_day, model.wind_most)
    return np.exp(spread * correlated(random, members, len(lead_h), model.wind_memory_h) - spread**2 / 2.0)


def _cloud_error_pct(random: np.random.Generator, lead_h: Floats, members: int, model: ErrorModel) -> Floats:
    spread = grown(lead_h, model.cloud_per_day, model.cloud_most)
    return spread * correlated(random, members, len(lead_h), model.cloud_memory_h)
