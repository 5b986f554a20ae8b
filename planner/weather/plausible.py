"""Is this weather of the site at all? Catches °F taken for °C, fractions for percent, and km/h for m/s."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from math import cos, degrees, pi, sin
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault
from planner.findings import Finding, Weight
from planner.model import Site
from planner.weather.dew import dew_point_c
from planner.weather.series import Floats, HourlySeries

MUGGIEST_C = 36.0
"""Highest dew point that air can have. The highest measured is 35 °C (Persian Gulf, July 2003; from memory)."""
WINDIEST_MEAN_MS = 20.0
"""Highest mean wind of whole days. The windiest year measured at sea level had 19.4 m/s (Cape Denison; from
memory)."""
WARMEST_LOW_SUN_C, LOW_SUN_DEG = 20.0, 30.0
COLDEST_HIGH_SUN_C, HIGH_SUN_DEG = 0.0, 55.0
"""Mean air of a day or more with the sun that low, or that high, at noon. Our own rule of thumb, no source: it asks,
and refuses nothing."""

_DRIEST_SUSPECT_PCT = 1.0
_LEAST_HOURS = 24
_LEAST_EIGHTHS = 5


def impossible(series: HourlySeries, zone: ZoneInfo | None = None) -> list[Fault]:
    """Return a fault for each column that no place on Earth has, with what it is taken for most likely.

    zone: the site's, in whose time hours are named; in UTC, and said so, where left out.
    """
    return [*_too_muggy(series, zone), *_fractions(series)]


def doubtful(series: HourlySeries, site: Site) -> list[Finding]:
    """Return an advice for each column that is unlikely at this site in this season."""
    if series.hours < _LEAST_HOURS:
        return []
    return [*_wrong_season(series, site), *_gale(series), *_eighths(series)]


def noon_sun_deg(latitude_deg: float, day: date) -> float:
    """Return the height of the sun at noon [degrees], within half a degree.

    Declination by Spencer 1971, Search 2(5):172, a Fourier series in the day's angle.
    """
    angle = 2.0 * pi * (day.timetuple().tm_yday - 1) / 365.0
    tilt = (
        0.006918
        - 0.399912 * cos(angle)
        + 0.070257 * sin(angle)
        - 0.006758 * cos(2 * angle)
        + 0.000907 * sin(2 * angle)
        - 0.002697 * cos(3 * angle)
        + 0.00148 * sin(3 * angle)
    )
    return 90.0 - abs(latitude_deg - degrees(tilt))


def _too_muggy(series: HourlySeries, zone: ZoneInfo | None) -> Iterator[Fault]:
    dew_c = dew_point_c(series.air_c, series.humidity_pct)
    wrong = np.flatnonzero(dew_c > MUGGIEST_C)
    if wrong.size:
        first = int(wrong[0])
        found = (
            f"{_hours(wrong.size)} with a dew point over {MUGGIEST_C:g} °C, "
            f"{'at' if wrong.size == 1 else 'the first at'} {_moment(series.hour(first), zone)} with "
            f"{series.air_c[first]:g} °C and {series.humidity_pct[first]:g} %"
        )
        allowed = f"air and humidity whose dew point is under {MUGGIEST_C:g} °C"
        yield Fault("forecast-fahrenheit", "air_c", None, found, allowed, _FAHRENHEIT)


def _fractions(series: HourlySeries) -> Iterator[Fault]:
    known = _known(series.humidity_pct)
    if known.size >= _LEAST_HOURS and known.max() <= _DRIEST_SUSPECT_PCT:
        found = f"no humidity over {known.max():g} % in {_hours(known.size)}"
        hint = "They are fractions: give percent, or say the unit, as in humidity_pct=NAME[fraction]."
        yield Fault("forecast-fraction", "humidity_pct", None, found, "relative humidity in %", hint)


def _wrong_season(series: HourlySeries, site: Site) -> Iterator[Finding]:
    known = _known(series.air_c)
    if not known.size:
        return
    mean_c = float(known.mean())
    height_deg = noon_sun_deg(site.latitude, series.hour(series.hours // 2).date())
    if mean_c > WARMEST_LOW_SUN_C and height_deg < LOW_SUN_DEG:
        yield _advice("air_c", f"under {WARMEST_LOW_SUN_C:g} °C with so low a sun", mean_c, "°C", _FAHRENHEIT)
    if mean_c < COLDEST_HIGH_SUN_C and height_deg > HIGH_SUN_DEG:
        hint = "Are they °C read as °F? Give °C, or say the unit, as in air_c=NAME[C]."
        yield _advice("air_c", f"over {COLDEST_HIGH_SUN_C:g} °C with so high a sun", mean_c, "°C", hint)


def _gale(series: HourlySeries) -> Iterator[Finding]:
    known = _known(series.wind_ms)
    if known.size and known.mean() > WINDIEST_MEAN_MS:
        hint = "Are they km/h? Give m/s, or say the unit, as in wind_ms=NAME[km/h]."
        yield _advice("wind_ms", f"under {WINDIEST_MEAN_MS:g} m/s", float(known.mean()), "m/s", hint)


_FAHRENHEIT = "Are they °F? Give °C, or say the unit, as in air_c=NAME[F]."


def _advice(column: str, required: str, mean: float, unit: str, hint: str) -> Finding:
    found = f"{mean:.1f} {unit} on the mean of the forecast"
    return Finding("forecast-doubtful", column, required, found, None, Weight.ADVICE, hint)


def _eighths(series: HourlySeries) -> Iterator[Finding]:
    """Yield an advice on cloud in whole numbers up to 8 that takes most of them: hours of percent never do."""
    known = _known(series.cloud_pct)
    values = set(known.tolist())
    if known.size >= _LEAST_HOURS and values <= set(range(9)) and len(values) >= _LEAST_EIGHTHS:
        found = f"whole numbers up to {max(values):g} % in all hours"
        hint = "Are they eighths of the sky? Give %, or say the unit, as in cloud_pct=NAME[okta]."
        yield Finding("forecast-doubtful", "cloud_pct", "cloud in %", found, None, Weight.ADVICE, hint)


def _known(values: Floats) -> Floats:
    return values[~np.isnan(values)]


def _hours(count: int) -> str:
    return f"{count} hour{'' if count == 1 else 's'}"


def _moment(instant: datetime, zone: ZoneInfo | None) -> str:
    return f"{instant:%Y-%m-%d %H:%M} UTC" if zone is None else f"{instant.astimezone(zone):%Y-%m-%d %H:%M}"
