"""Hours from daily lows and highs against measured ones: run `python -m tests.benchmarks.day_shape`.

The two station-years that pvlib ships (real weather, hourly, standard time; 36.1° N inland and 55.3° N on a coast).
Every method sees only each day's low and high, and the sun. Columns: root mean square and mean absolute error, mean
error, and how far the hour of the day's low and high is out on the mean (hours; a clock error of one hour shows
there, where it may not show in the root mean square).

plain sine: a cosine of 24 h about each day's middle, highest at 15:00 solar time. linear: straight from the low at
sunrise to the high two hours after solar noon, and on to the next low. flat: the middle of low and high all day.
held-out weeks: fitted to the odd weeks, and asked for the even ones only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from planner.model import ForecastDay, Site
from planner.units import SiteTime
from planner.weather.day_fit import fit_day_shape
from planner.weather.day_shape import AIR_150_CM, Lags, daily_to_hourly, day_light
from planner.weather.series import HOUR, Floats, HourlySeries
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, station

_FIRST = date(2023, 1, 1)
_DAYS = 365
PLACES = {"inland, 36.1 N": GREENSBORO, "coast, 55.3 N": SAND_POINT}


@dataclass(frozen=True)
class Year:
    """A station-year by the days that its file has: the labels 01:00 to 24:00. air_c: 8,760 measured hours [°C]."""

    site: Site
    time: SiteTime
    air_c: Floats
    days: tuple[ForecastDay, ...]

    @property
    def hours(self) -> tuple[datetime, ...]:
        """The UTC instants of the measured hours."""
        return tuple(self.time.epoch + (n + 1) * HOUR for n in range(len(self.air_c)))

    @property
    def readings(self) -> HourlySeries:
        """The measured hours as a series; only its air temperature means anything."""
        nothing = np.zeros(len(self.air_c))
        return HourlySeries(self.time.epoch + HOUR, self.air_c, nothing, nothing, nothing, nothing)


@dataclass(frozen=True)
class Score:
    """Errors [K] of one method over the hours asked for, and the mean error of the hours of low and high [h]."""

    rmse_k: float
    mae_k: float
    bias_k: float
    low_h: float
    high_h: float


def year(name: str) -> Year:
    """Return the station-year in pvlib's file `name`."""
    weather = station(name)
    zone = ZoneInfo(f"Etc/GMT{-weather.utc_offset_h:+d}")
    measured = np.roll([hour.air_c for hour in weather.hours], -1)
    days = tuple(
        ForecastDay(date=_FIRST + timedelta(days=n), low_c=float(values.min()), high_c=float(values.max()))
        for n, values in enumerate(measured.reshape(_DAYS, 24))
    )
    site = Site(name="Station", latitude=weather.latitude, longitude=weather.longitude, zone=zone.key)
    return Year(site, SiteTime(_FIRST, _DAYS, zone), measured, days)


def shaped(of: Year, lags: Lags) -> Floats:
    """Return the hours by Parton & Logan's shape [°C]."""
    return daily_to_hourly(of.days, of.site, of.time, lags).air_c[1:]


def plain_sine(of: Year) -> Floats:
    """Return the hours by a cosine about each day's middle [°C]."""
    swing = np.cos(2 * np.pi * (_solar_h(of) - 15.0) / 24.0)
    return _by_hour(of, "middle") + swing * (_by_hour(of, "high") - _by_hour(of, "low")) / 2


def linear(of: Year) -> Floats:
    """Return the hours on straight lines from low to high to low [°C]."""
    at, values = [], []
    for day in of.days:
        rises, sets = (((moment - of.time.epoch) / HOUR) for moment in day_light(of.site, day.date))
        at += [rises, (rises + sets) / 2 + 2.0]
        values += [day.low_c, day.high_c]
    return np.interp(np.arange(1, len(of.air_c) + 1), at, values)


def flat(of: Year) -> Floats:
    """Return the middle of each day [°C]."""
    return _by_hour(of, "middle")


METHODS: dict[str, Callable[[Year], Floats]] = {
    "day shape, published": lambda of: shaped(of, AIR_150_CM),
    "day shape, fitted": lambda of: shaped(of, fit_day_shape(of.readings, of.site).lags),
    "plain sine": plain_sine,
    "linear": linear,
    "flat": flat,
}


def score(of: Year, made: Floats, asked: Floats | None = None) -> Score:
    """Return how far the hours `made` are out; asked: which hours count (1 or 0), all where left out."""
    chosen = np.ones(len(made), dtype=bool) if asked is None else asked.astype(bool)
    errors = (made - of.air_c)[chosen]
    low_h, high_h = _phases_h(of, made, chosen)
    return Score(
        float(np.sqrt((errors**2).mean())), float(np.abs(errors).mean()), float(errors.mean()), low_h, high_h
    )


def even_weeks(of: Year) -> Floats:
    """Return 1 for the hours of even weeks, 0 for others."""
    return (np.arange(len(of.air_c)) // 168 % 2 == 1).astype(float)


def fitted_to_odd_weeks(of: Year) -> Lags:
    """Return the constants fitted to the odd weeks only."""
    seen = np.where(even_weeks(of) == 1, np.nan, of.air_c)
    readings = of.readings
    return fit_day_shape(HourlySeries(readings.start, seen, *(readings.rain_mm,) * 4), of.site).lags


def _phases_h(of: Year, made: Floats, chosen: np.ndarray) -> tuple[float, float]:
    """Return by how many hours the mean daily course of `made` has its low and high later than the measured one.

    Not a number where a day has neither.
    """
    solar = np.round(_solar_h(of)).astype(int) % 24
    if made.reshape(-1, 24).std(axis=1).max() < 1e-9:
        return np.nan, np.nan
    courses = [
        np.array([values[chosen & (solar == hour)].mean() for hour in range(24)]) for values in (made, of.air_c)
    ]
    return tuple(_later_h(*(_turn_h(course * sign) for course in courses)) for sign in (1, -1))  # type: ignore[return-value]


def _turn_h(course: Floats) -> float:
    """Return the hour at which a daily course is least, by a parabola through the three lowest neighbours."""
    at = int(course.argmin())
    before, here, after = (course[(at + away) % 24] for away in (-1, 0, 1))
    bend = before - 2 * here + after
    return at + (0.5 * (before - after) / bend if bend > 0 else 0.0)


def _later_h(made_h: float, measured_h: float) -> float:
    return (made_h - measured_h + 12.0) % 24.0 - 12.0


def _solar_h(of: Year) -> Floats:
    noons = {}
    for day in of.days:
        rises, sets = day_light(of.site, day.date)
        noons[day.date] = rises + (sets - rises) / 2
    return np.array([(hour - noons[_label_day(of, n)]) / HOUR + 12.0 for n, hour in enumerate(of.hours)])


def _label_day(of: Year, index: int) -> date:
    return of.days[index // 24].date


def _by_hour(of: Year, what: str) -> Floats:
    values = {
        "low": lambda day: day.low_c,
        "high": lambda day: day.high_c,
        "middle": lambda day: (day.low_c + day.high_c) / 2,
    }
    return np.repeat([values[what](day) for day in of.days], 24)


def table() -> list[str]:
    """Return the table, one line a method and place."""
    lines = [f"{'place':16}{'method':34}{'RMSE':>7}{'MAE':>7}{'bias':>7}{'low at':>8}{'high at':>8}"]
    for place, name in PLACES.items():
        of = year(name)
        rows = {method: score(of, make(of)) for method, make in METHODS.items()}
        asked, lags = even_weeks(of), fitted_to_odd_weeks(of)
        rows["held-out weeks: published"] = score(of, shaped(of, AIR_150_CM), asked)
        rows["held-out weeks: fitted to others"] = score(of, shaped(of, lags), asked)
        for method, one in rows.items():
            numbers = f"{one.rmse_k:7.2f}{one.mae_k:7.2f}{one.bias_k:+7.2f}{one.low_h:+8.1f}{one.high_h:+8.1f}"
            lines.append(f"{place:16}{method:34}{numbers.replace('+nan', '   -')}")
        fit = fit_day_shape(of.readings, of.site).lags
        lines.append(f"{place:16}fitted: a = {fit.high_h:.2f} h, b = {fit.decay:.2f}, c = {fit.low_h:+.2f} h")
    return lines


if __name__ == "__main__":
    print("Errors in K; the hours of low and high against the measured mean course, + is late.")
    print("\n".join(table()))
