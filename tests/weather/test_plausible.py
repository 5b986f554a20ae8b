"""Weather that no place has, and weather that this place hardly has in this season."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from pvlib.solarposition import declination_spencer71

from planner.findings import Weight
from planner.model import Site
from planner.weather import HourlySeries
from planner.weather.plausible import doubtful, impossible, noon_sun_deg
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, station

YEARS = {name: station(name) for name in (GREENSBORO, SAND_POINT)}


def site(latitude: float) -> Site:
    return Site(name="Site", latitude=latitude, longitude=0.0, zone="Europe/London")


def series(first: int = 0, hours: int = 24 * 14, name: str = GREENSBORO, **columns: Any) -> HourlySeries:
    """Return two weeks of a station-year, its first hour being that number of the year."""
    year = YEARS[name].hours
    part = [year[n % len(year)] for n in range(first, first + hours)]
    names = ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")
    real = {one: np.array([getattr(hour, one) for hour in part]) for one in names}
    start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=first)
    return HourlySeries(start, **{**real, **columns})


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
@pytest.mark.parametrize("month", range(12))
def test_real_weather_is_never_doubted(name: str, month: int) -> None:
    latitude = {GREENSBORO: 36.1, SAND_POINT: 55.3}[name]
    real = series(month * 730, name=name)
    assert impossible(real) == []
    assert doubtful(real, site(latitude)) == []


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
@pytest.mark.parametrize("month", range(12))
def test_fahrenheit_taken_for_celsius_is_caught_all_the_year(name: str, month: int) -> None:
    latitude = {GREENSBORO: 36.1, SAND_POINT: 55.3}[name]
    real = series(month * 730, name=name)
    wrong = series(month * 730, name=name, air_c=real.air_c * 1.8 + 32.0)
    faults, advice = impossible(wrong), doubtful(wrong, site(latitude))
    assert [fault.code for fault in faults] == ["forecast-fahrenheit"] or [one.code for one in advice] == [
        "forecast-doubtful"
    ]
    assert "[F]" in (faults[0].hint if faults else advice[0].remedy)


def test_the_place_is_named() -> None:
    air = series().air_c.copy()
    air[:] = 10.0
    air[30] = 50.0
    (fault,) = impossible(series(air_c=air, humidity_pct=np.full(len(air), 80.0)))
    assert fault.found.startswith("1 hour with")
    assert "at 2026-01-02 06:00 UTC with 50 °C and 80 %" in fault.found
    (fault,) = impossible(series(air_c=air, humidity_pct=np.full(len(air), 80.0)), ZoneInfo("America/Denver"))
    assert "at 2026-01-01 23:00 with 50 °C" in fault.found


def test_celsius_taken_for_fahrenheit_in_summer() -> None:
    summer = series(4500)
    wrong = series(4500, air_c=(summer.air_c - 32.0) / 1.8)
    (advice,) = doubtful(wrong, site(36.1))
    assert (advice.place, advice.weight) == ("air_c", Weight.ADVICE)
    assert "[C]" in advice.remedy


def test_fractions_taken_for_percent() -> None:
    (fault,) = impossible(series(humidity_pct=series().humidity_pct / 100))
    assert (fault.code, fault.path) == ("forecast-fraction", "humidity_pct")
    assert "[fraction]" in fault.hint


def test_kilometres_an_hour_taken_for_metres_a_second() -> None:
    (advice,) = doubtful(series(first=730, wind_ms=np.full(336, 26.0)), site(50.0))
    assert (advice.place, "km/h" in advice.remedy) == ("wind_ms", True)


def test_eighths_of_cloud_taken_for_percent() -> None:
    eighths = np.round(series(first=730).cloud_pct / 12.5)
    (advice,) = doubtful(series(first=730, cloud_pct=eighths), site(50.0))
    assert (advice.place, "[okta]" in advice.remedy) == ("cloud_pct", True)


def test_a_few_hours_say_nothing() -> None:
    hot = series(hours=10, air_c=np.full(10, 24.0))
    assert doubtful(hot, site(55.0)) == []


def test_gaps_are_no_matter() -> None:
    nothing = np.full(336, np.nan)
    gaps = series(air_c=nothing, humidity_pct=nothing, wind_ms=nothing)
    assert impossible(gaps) == []
    assert doubtful(gaps, site(55.0)) == []


@pytest.mark.parametrize(
    ("latitude", "day", "height"),
    [
        # At the solstices the noon sun stands 90° − |latitude ∓ 23.44°|; at the equinoxes 90° − |latitude|.
        (51.5, date(2026, 6, 21), 61.94),
        (51.5, date(2026, 12, 21), 15.06),
        (51.5, date(2026, 3, 20), 38.5),
        (-33.9, date(2026, 6, 21), 32.66),
        (0.0, date(2026, 6, 21), 66.56),
    ],
)
def test_height_of_the_sun_at_noon(latitude: float, day: date, height: float) -> None:
    assert noon_sun_deg(latitude, day) == pytest.approx(height, abs=0.5)


@pytest.mark.parametrize("number", range(1, 366, 13))
def test_height_of_the_sun_against_pvlibs_declination(number: int) -> None:
    day = date(2026, 1, 1) + timedelta(days=number - 1)
    tilt = np.degrees(declination_spencer71(number))
    assert noon_sun_deg(40.0, day) == pytest.approx(90.0 - 40.0 + tilt, abs=0.02)
