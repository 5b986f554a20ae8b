"""Calibration finds again what made the readings, says how sure it is, and moves nothing that they don't tell."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from planner.errors import OutOfRangeError
from planner.jobfile.write import changed_text
from planner.model import Job, SurfaceSettings
from planner.units import SLOT
from planner.weather import JobWeather, make_weather, read_hourly_csv
from planner.weather.calibrate import Calibration, calibrate
from planner.weather.readings import Reading
from planner.weather.surface import element_temperatures
from tests.jobs import element, make_job, small_fields
from tests.weather.tmy3 import write_hourly_csv

TRUTH = {"film_factor": 1.5, "absorptance": 0.75, "sky_factor": 0.6}


def job_of(*elements: dict[str, Any]) -> Job:
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": date(2026, 4, 6), "days": 8}
    fields["elements"] = list(elements)
    return make_job(fields)


@pytest.fixture(scope="module")
def job() -> Job:
    return job_of(
        element("DECK", thickness_m=0.25, faces_to="up"),
        element("SHELF", thickness_m=0.8, exposure="sheltered"),
        element("BLACK", thickness_m=0.25, faces_to="up", absorptance=0.9),
    )


@pytest.fixture(scope="module")
def weather(job: Job, tmp_path_factory: pytest.TempPathFactory) -> JobWeather:
    """Return eight days of a real April (TMY3, Wilcox & Marion 2008)."""
    path = tmp_path_factory.mktemp("weather") / "real.csv"
    write_hourly_csv(Path(path), job.job.first_day, job.job.days, job.time.zone)
    return make_weather(job, read_hourly_csv(path, job.time.zone))


def readings_of(
    job: Job, weather: JobWeather, names: list[str], count: int, noise_k: float, seed: int = 1
) -> tuple[Reading, ...]:
    """Return readings at any time from the second day on, of a site with the figures in TRUTH."""
    draw = np.random.default_rng(seed)
    kinds = [job.element(name).surface_kind for name in names]
    courses = element_temperatures(kinds, weather.around, SurfaceSettings(**TRUTH))
    found = []
    for number in range(count):
        which = number % len(names)
        slot = float(draw.uniform(96, job.time.horizon))
        at = float(np.interp(slot, np.arange(job.time.horizon + 1), courses[which].surface_c))
        read = at + float(draw.normal()) * noise_k
        found.append(Reading(names[which], job.time.epoch + slot * SLOT, read))
    return tuple(found)


def by_name(found: Calibration) -> dict[str, Any]:
    return {one.name: one for one in found.parameters}


def test_many_exact_readings_give_back_what_made_them(job: Job, weather: JobWeather) -> None:
    found = calibrate(job, weather, readings_of(job, weather, ["DECK", "SHELF"], 120, 0.0))
    for name, true in TRUTH.items():
        assert by_name(found)[name].value == pytest.approx(true, rel=0.02)
        assert getattr(found.settings, name) == by_name(found)[name].value
    assert found.rmse_k < 0.05
    assert found.rmse_before_k > 0.7


def test_noisy_readings_come_near_and_say_how_near(job: Job, weather: JobWeather) -> None:
    off = []
    for seed in range(12):
        found = calibrate(job, weather, readings_of(job, weather, ["DECK", "SHELF"], 60, 0.7, seed))
        assert found.rmse_k == pytest.approx(0.7, abs=0.2)
        for name, true in TRUTH.items():
            one = by_name(found)[name]
            assert 0.02 < one.standard_error < 0.3
            off.append((one.value - true) / one.standard_error)
    # 36 errors in units of their own standard error: as a normal law has them (one in 36 beyond 2.2 on the average).
    assert np.abs(off).max() < 3.5
    assert 0.6 < np.sqrt(np.mean(np.square(off))) < 1.4


def test_more_readings_make_it_surer(job: Job, weather: JobWeather) -> None:
    few, many = (calibrate(job, weather, readings_of(job, weather, ["DECK"], count, 0.7)) for count in (14, 120))
    for name in TRUTH:
        assert by_name(many)[name].standard_error < by_name(few)[name].standard_error


def test_what_the_readings_do_not_tell_stays(job: Job, weather: JobWeather) -> None:
    found = by_name(calibrate(job, weather, readings_of(job, weather, ["SHELF"], 40, 0.1)))
    assert found["film_factor"].told
    assert found["film_factor"].value == pytest.approx(1.5, rel=0.1)
    for name, before, deviation in (("absorptance", 0.6, 0.2), ("sky_factor", 1.0, 0.4)):
        assert not found[name].told
        assert found[name].value == pytest.approx(before)
        assert found[name].standard_error == pytest.approx(deviation)
        assert "say little of it" in str(found[name])


def test_an_elements_own_absorptance_is_no_reading_of_the_jobs(job: Job, weather: JobWeather) -> None:
    found = by_name(calibrate(job, weather, readings_of(job, weather, ["BLACK"], 40, 0.1)))
    assert not found["absorptance"].told
    assert found["absorptance"].value == pytest.approx(0.6)


def test_one_wild_reading_moves_little(job: Job, weather: JobWeather) -> None:
    noon = Reading("DECK", job.time.epoch + timedelta(days=3, hours=12), 60.0)
    found = calibrate(job, weather, [noon])
    assert found.readings == 1
    assert 0.3 <= found.settings.film_factor <= 3.0
    assert 0.6 <= found.settings.absorptance <= 0.98
    assert found.misfits[0].surface_c < 60.0
    assert found.misfits[0].reading is noon


def test_all_else_in_the_settings_stays(job: Job, weather: JobWeather) -> None:
    own = job.model_copy(update={"surface": SurfaceSettings(ground_reflectance=0.35, absorptance=0.5)})
    found = calibrate(own, weather, readings_of(own, weather, ["SHELF"], 20, 0.1))
    assert found.settings.ground_reflectance == 0.35
    assert found.settings.absorptance == pytest.approx(0.5)


def test_what_was_told_can_be_written_into_the_job_file(job: Job, weather: JobWeather) -> None:
    found = calibrate(job, weather, readings_of(job, weather, ["SHELF"], 40, 0.1))
    text = changed_text("liftgap_job = 1\n", found.changes)
    assert tomllib.loads(text)["surface"] == {"film_factor": pytest.approx(found.settings.film_factor, abs=0.0006)}


def test_it_speaks(job: Job, weather: JobWeather) -> None:
    words = str(calibrate(job, weather, readings_of(job, weather, ["DECK", "SHELF"], 60, 0.5)))
    assert words.startswith("60 readings: off by 0.")
    assert "film_factor 1.00 -> 1." in words
    assert "±" in words


def test_without_readings_or_outside_the_job_there_is_nothing_to_calibrate(job: Job, weather: JobWeather) -> None:
    with pytest.raises(OutOfRangeError, match="at least one"):
        calibrate(job, weather, [])
    with pytest.raises(OutOfRangeError, match="within"):
        calibrate(job, weather, [Reading("DECK", job.time.epoch - timedelta(hours=1), 10.0)])
