"""Hours from lows and highs: printed values, two station-years, and the phase against the sun."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from math import asin, atan2, pi, sin, sqrt, tan
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.calendars import sun_day
from planner.errors import ForecastError
from planner.model import ForecastDay, Site
from planner.units import SiteTime
from planner.weather import HourlySeries, daily_to_hourly, dew_point_c
from planner.weather.day_shape import AIR_150_CM, Lags, day_c, night_c
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, station

HOUR = timedelta(hours=1)


def site(latitude: float = 54.6, longitude: float = -2.7, zone: str = "Europe/London") -> Site:
    return Site(name="Site", latitude=latitude, longitude=longitude, zone=zone)


def day(on: date, low_c: float = 5.0, high_c: float = 15.0, **more: Any) -> ForecastDay:
    return ForecastDay(date=on, low_c=low_c, high_c=high_c, **more)


def alike(first: date, days: int, **more: Any) -> list[ForecastDay]:
    return [day(first + timedelta(days=number), **more) for number in range(days)]


def shape_c(clock_h: float, sunrise_h: float, sunset_h: float, low_c: float, high_c: float, lags: Lags) -> float:
    """Return the temperature at a solar hour of a day that is like its neighbours."""
    length_h = sunset_h - sunrise_h
    if sunrise_h + lags.low_h <= clock_h < sunset_h:
        return day_c(clock_h - sunrise_h, low_c, high_c, length_h, lags)
    sunset_c = day_c(length_h, low_c, high_c, length_h, lags)
    return night_c((clock_h - sunset_h) % 24, sunset_c, low_c, 24 - length_h, lags)


def apsim_sunrise_and_sunset_h(day_of_year: int, latitude_rad: float) -> tuple[float, float]:
    """Return the solar hours that the source of the printed values below uses, its slips included."""
    declination = 0.4014 * sin(2 * pi * (day_of_year - 77) / 365)
    across = sqrt(1 - (tan(latitude_rad) * declination) ** 2)
    half_h = atan2(across, -tan(latitude_rad) * tan(declination)) / pi * 12
    return 12 - half_h, 12 + half_h


@pytest.mark.parametrize(
    ("clock_h", "printed_c"), [(1.0, 10.60904), (1.1, 10.58507), (6.0, 10.03649), (6.1, 10.22084)]
)
def test_printed_values_with_other_constants(clock_h: float, printed_c: float) -> None:
    # Example of `diurnalT` in the R package weaana (after APSIM), as printed on its page: high 20, low 10, day 1,
    # latitude −10 (taken as radians), a = 1.5, b = 4, c = 1.
    lags = Lags(high_h=1.5, decay=4.0, low_h=1.0)
    sunrise_h, sunset_h = apsim_sunrise_and_sunset_h(1, -10.0)
    assert shape_c(clock_h, sunrise_h, sunset_h, 10.0, 20.0, lags) == pytest.approx(printed_c, abs=6e-6)


WORKED = [
    (0, 13.253),
    (3, 11.877),
    (6, 10.510),
    (9, 18.880),
    (12, 24.153),
    (14, 24.971),
    (15, 24.489),
    (18, 19.771),
    (21, 15.638),
    (23, 13.907),
]
"""Solar hour and °C: low 10, high 25, sun 06:00 to 18:00, a = 1.86, b = 2.20, c = −0.17; worked out apart from this
program from the equations of the paper."""


@pytest.mark.parametrize(("clock_h", "expected_c"), WORKED)
def test_worked_day(clock_h: float, expected_c: float) -> None:
    assert shape_c(clock_h, 6.0, 18.0, 10.0, 25.0, AIR_150_CM) == pytest.approx(expected_c, abs=6e-4)


def station_series(name: str) -> tuple[HourlySeries, np.ndarray]:
    """Return our hours from the station's daily lows and highs, and its own hours, both from 01:00 on 1 January.

    A day is what the file calls one: the labels 01:00 to 24:00, so that no day mixes two of the years that a typical
    year is put together from.
    """
    weather = station(name)
    measured = np.roll([hour.air_c for hour in weather.hours], -1)
    by_day = measured.reshape(365, 24)
    zone = ZoneInfo(f"Etc/GMT{-weather.utc_offset_h:+d}")
    first = date(2023, 1, 1)
    days = [
        day(first + timedelta(days=number), float(values.min()), float(values.max()))
        for number, values in enumerate(by_day)
    ]
    place = site(weather.latitude, weather.longitude, zone.key)
    return daily_to_hourly(days, place, SiteTime(first, 365, zone)), measured


@pytest.mark.parametrize(("name", "worst_rmse_k"), [(GREENSBORO, 1.85), (SAND_POINT, 1.15)])
def test_a_year_of_measured_hours(name: str, worst_rmse_k: float) -> None:
    # TMY3 station-years. A flat day, (low + high) / 2, has 3.86 and 1.34 K; the constants swapped about 4 K.
    series, measured = station_series(name)
    errors = series.air_c[1:] - measured
    assert np.sqrt((errors**2).mean()) <= worst_rmse_k
    assert abs(errors.mean()) <= 0.4


@pytest.mark.parametrize(
    ("place", "first"),
    [
        (site(), date(2026, 3, 26)),
        (site(), date(2026, 10, 22)),
        (site(), date(2026, 7, 1)),
        (site(40.0, -75.0, "America/New_York"), date(2026, 3, 5)),
        (site(40.0, -105.0, "Etc/GMT+7"), date(2026, 6, 1)),
        (site(-33.9, 151.2, "Australia/Sydney"), date(2026, 12, 1)),
    ],
)
def test_low_and_high_keep_time_with_the_sun_not_the_clock(place: Site, first: date) -> None:
    # A root mean square error can't see a clock that is an hour out (it even falls); the phase can. Hours are
    # compared with the sun's own, over clock changes.
    axis = SiteTime(first, 6, ZoneInfo(place.zone))
    series = daily_to_hourly(alike(first, 6), place, axis)
    for on in list(axis.each_day())[1:-1]:
        sun = sun_day(place, on)
        assert sun.sunrise is not None
        hours = [n for n in range(series.hours) if abs(series.hour(n) - sun.noon) < 12 * HOUR]
        coldest = series.hour(min(hours, key=lambda n: series.air_c[n]))
        hottest = series.hour(max(hours, key=lambda n: series.air_c[n]))
        # The low is ten minutes before sunrise: the coldest full hour is the last one before it or the first after.
        assert abs(coldest - (sun.sunrise - 0.17 * HOUR)) < HOUR
        assert abs(hottest - (sun.noon + 1.69 * HOUR)) <= 0.5 * HOUR + timedelta(minutes=3)


def test_the_day_formula_met_to_the_minute() -> None:
    # 1 h after sunrise, by the clock of any zone: sin(π (1 + 0.17) / (Y + 3.72)) of the swing above the low.
    place, first = site(), date(2026, 3, 29)
    series = daily_to_hourly(alike(first, 2), place, SiteTime(first, 2, ZoneInfo("Europe/London")))
    sun = sun_day(place, first)
    assert sun.sunrise is not None
    assert sun.sunset is not None
    length_h = (sun.sunset - sun.sunrise) / HOUR
    for n in range(10, 16):
        since_low_h = asin((series.air_c[n] - 5.0) / 10.0) * (length_h + 3.72) / pi
        peak_h = (length_h + 3.72) / 2
        clock_h = (series.hour(n) - sun.sunrise) / HOUR + 0.17
        assert min(abs(clock_h - since_low_h), abs(clock_h - (2 * peak_h - since_low_h))) < 1e-6


def test_the_night_falls_towards_the_next_days_low() -> None:
    first, axis = date(2026, 4, 1), SiteTime(date(2026, 4, 1), 2, ZoneInfo("Europe/London"))
    cold_after = daily_to_hourly([day(first, 8.0, 16.0), day(first + timedelta(days=1), -4.0, 6.0)], site(), axis)
    warm_after = daily_to_hourly([day(first, 8.0, 16.0), day(first + timedelta(days=1), 8.0, 16.0)], site(), axis)
    five_in_the_morning = 29
    assert cold_after.hour(five_in_the_morning).astimezone(axis.zone).hour == 5
    assert cold_after.air_c[five_in_the_morning] < -1.0
    assert warm_after.air_c[five_in_the_morning] > 8.0
    assert cold_after.air_c[:19] == pytest.approx(warm_after.air_c[:19])


def test_neighbours_beyond_the_job_are_used_where_typed() -> None:
    first, axis = date(2026, 4, 2), SiteTime(date(2026, 4, 2), 1, ZoneInfo("Europe/London"))
    alone = daily_to_hourly([day(first)], site(), axis)
    hot_eve = daily_to_hourly([day(first - timedelta(days=1), 5.0, 30.0), day(first)], site(), axis)
    assert hot_eve.air_c[0] > alone.air_c[0] + 2.0


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(0, 20)), min_size=3, max_size=3), st.floats(-66, 66))
def test_hours_lie_between_the_lows_and_the_highs(swings: list[tuple[float, float]], latitude: float) -> None:
    first, zone = date(2026, 6, 20), ZoneInfo("Europe/London")
    days = [day(first + timedelta(days=n), low, low + swing) for n, (low, swing) in enumerate(swings)]
    series = daily_to_hourly(days, site(latitude), SiteTime(first, 3, zone))
    assert np.isfinite(series.air_c).all()
    assert series.air_c.min() >= min(one.low_c for one in days) - 1e-9
    assert series.air_c.max() <= max(one.high_c for one in days) + 1e-9


class TestOtherColumns:
    first = date(2026, 3, 28)
    axis = SiteTime(date(2026, 3, 28), 2, ZoneInfo("Europe/London"))

    def test_they_stand_for_the_whole_local_day(self) -> None:
        days = [day(self.first, humidity_pct=60.0, wind_ms=2.0, cloud_pct=10.0), day(date(2026, 3, 29), wind_ms=7.0)]
        series = daily_to_hourly(days, site(), self.axis)
        assert series.hours == 24 + 23 + 1
        assert series.humidity_pct[:24].mean() == pytest.approx(60.0)
        dew_c = dew_point_c(series.air_c, series.humidity_pct)
        assert np.ptp(dew_c[:24]) < 1e-6
        # Not typed: 1 K under the low of 5 °C (FAO-56 eq. 48 and its 2 K for arid sites, from memory; half way).
        assert dew_c[24:47] == pytest.approx(np.full(23, 4.0))
        assert series.notes[0].endswith(" Taken where not typed: dew point 1 K below the day's low, cloud 60 %.")
        assert (series.wind_ms[23], series.wind_ms[24], series.cloud_pct[0]) == (2.0, 7.0, 10.0)

    @pytest.mark.parametrize(
        ("rain", "wet_hours"),
        [
            ("09:00-11:00", [9, 10]),
            ("09:30-10:15", [9, 10]),
            ("22:00-24:00", [22, 23]),
            ("22:00-02:00", [22, 23, 24]),
            ("00:00-00:00", list(range(24))),
        ],
    )
    def test_every_hour_that_rain_touches_is_wet(self, rain: str, wet_hours: list[int]) -> None:
        # 29 March is the spring change: 00:00-02:00 local is one hour, number 24.
        series = daily_to_hourly([day(self.first, rain=(rain,)), day(date(2026, 3, 29))], site(), self.axis)
        assert list(np.flatnonzero(series.rain_mm)) == wet_hours

    def test_the_series_starts_at_local_midnight(self) -> None:
        axis = SiteTime(date(2026, 6, 1), 1, ZoneInfo("Europe/London"))
        series = daily_to_hourly(alike(axis.first_day, 1), site(), axis)
        assert series.start == datetime(2026, 5, 31, 23, tzinfo=UTC)
        assert series.notes


class TestFaults:
    axis = SiteTime(date(2026, 3, 28), 3, ZoneInfo("Europe/London"))

    def faults(self, days: list[ForecastDay]) -> list[str]:
        with pytest.raises(ForecastError) as caught:
            daily_to_hourly(days, site(), self.axis)
        return [fault.code for fault in caught.value.faults]

    def test_all_missing_days_are_named(self) -> None:
        assert self.faults([day(date(2026, 3, 29))]) == ["forecast-too-short"] * 2

    def test_a_day_given_twice(self) -> None:
        assert self.faults([*alike(date(2026, 3, 28), 3), day(date(2026, 3, 29))]) == ["forecast-day-repeated"]

    @pytest.mark.parametrize("rain", ["25:00-26:00", "09:60-10:00", "09:00-24:30", "24:00-02:00"])
    def test_rain_at_no_time_of_day(self, rain: str) -> None:
        assert self.faults(alike(date(2026, 3, 28), 3, rain=(rain,))) == ["forecast-rain"] * 3
