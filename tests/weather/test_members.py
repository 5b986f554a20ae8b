"""Many weathers at once: each member is what its own weather would give, and the band lies about the course."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from planner.errors import OutOfRangeError
from planner.model import Job
from planner.weather import JobWeather, make_weather, read_hourly_csv
from tests.jobs import element, make_job, small_fields
from tests.weather.tmy3 import write_hourly_csv

KINDS = [
    element("DECK", thickness_m=0.25, faces=2, faces_to="up"),
    element("WALL", thickness_m=0.6, faces_to="south", exposure="shuttered"),
    element("EARTH", thickness_m=0.5, exposure="buried"),
    element("TENT", thickness_m=0.3, exposure="tented", tent_c=11.0),
    element("POST", thickness_m=0.01, material="steel"),
]


@pytest.fixture(scope="module")
def job() -> Job:
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": date(2026, 4, 6), "days": 6}
    fields["elements"] = KINDS
    return make_job(fields)


@pytest.fixture(scope="module")
def weather(job: Job, tmp_path_factory: pytest.TempPathFactory) -> JobWeather:
    """Return six days of a real April, and the day before them, from which all members begin."""
    folder: Path = tmp_path_factory.mktemp("weather")
    first = job.job.first_day - timedelta(days=1)
    path = write_hourly_csv(folder / "real.csv", first, job.job.days + 1, job.time.zone)
    return make_weather(job, read_hourly_csv(path, job.time.zone))


def shifts(weather: JobWeather, count: int) -> np.ndarray:
    """Return departures [K] that are 0 for the first day and then wander, one row a member."""
    steps = np.random.default_rng(7).normal(size=(count, len(weather.air_c))) * 0.1
    steps[:, :97] = 0.0
    return np.cumsum(steps, axis=1)


@pytest.mark.parametrize("number", range(len(KINDS)))
def test_each_member_is_what_its_own_weather_gives(job: Job, weather: JobWeather, number: int) -> None:
    air = weather.air_c + shifts(weather, 5)
    wind = np.abs(weather.wind_ms + shifts(weather, 5))
    cloud = np.clip(weather.cloud_pct + 20 * shifts(weather, 5), 0, 100)
    one = job.elements[number]
    together = weather.with_air(air, wind_ms=wind, cloud_pct=cloud).element(one)
    assert together.surface_c.shape == together.mean_c.shape == air.shape
    for member in range(5):
        alone = replace(weather, air_c=air[member], wind_ms=wind[member], cloud_pct=cloud[member], _known={}).element(
            one
        )
        assert together.surface_c[member] == pytest.approx(alone.surface_c, abs=1e-9)
        assert together.mean_c[member] == pytest.approx(alone.mean_c, abs=1e-9)
        assert together.lumped is alone.lumped


def test_the_nominal_air_gives_the_nominal_surface(job: Job, weather: JobWeather) -> None:
    for one in job.elements:
        found = weather.with_air(weather.air_c[None, :]).surface_c(one)
        assert found.shape == (1, len(weather.air_c))
        assert found[0] == pytest.approx(weather.surface_c(one), abs=1e-9)


def test_elements_are_the_same_together_or_alone(job: Job, weather: JobWeather) -> None:
    for one in job.elements:
        alone = replace(weather, kinds=(), _known={})
        assert alone.surface_c(one) == pytest.approx(weather.surface_c(one), abs=1e-9)


def test_members_begin_from_the_forecasts_first_day(job: Job, weather: JobWeather) -> None:
    colder = weather.with_air(weather.air_c[None, :] - 4.0).surface_c(job.elements[1])[0]
    drop = weather.surface_c(job.elements[1]) - colder
    assert 0.0 < drop[0] < 2.0
    assert drop[-1] > drop[0]


@pytest.mark.parametrize("shape", [(-1,), (2, 10), (2, 2, 5)])
def test_other_shapes_are_refused(weather: JobWeather, shape: tuple[int, ...]) -> None:
    values = np.zeros(len(weather.air_c)) if shape == (-1,) else np.zeros(shape)
    with pytest.raises(OutOfRangeError, match=r"members have shape \(members, 577\)"):
        weather.with_air(values)


def test_members_of_wind_are_as_many_as_of_air(weather: JobWeather) -> None:
    air = np.tile(weather.air_c, (3, 1))
    with pytest.raises(OutOfRangeError, match="all alike"):
        weather.with_air(air, wind_ms=air[:2])


def test_the_band_is_wide_where_sun_and_sky_count_and_nothing_elsewhere(job: Job, weather: JobWeather) -> None:
    deck, _, earth, tent, _ = job.elements
    for one in job.elements:
        cold, warm = weather.surface_band_c(one)
        assert (cold <= weather.surface_c(one) + 1e-9).all()
        assert (weather.surface_c(one) <= warm + 1e-9).all()
    widths = [float(np.ptp(weather.surface_band_c(one), axis=0).max()) for one in (deck, earth, tent)]
    assert widths[0] > 3.0
    assert widths[1:] == pytest.approx([0.0, 0.0])
