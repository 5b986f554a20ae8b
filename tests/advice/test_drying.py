"""Advice on evaporation: judged as it is shown, until four hours after placing."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from planner.advice.advice import advice
from planner.model import Job
from planner.weather.evaporation import WIND_AT_FACE
from tests.advice.cases import FINISH, START, advised, cast, course
from tests.audit.feature_job import plan_of, visit, weather_of

HOT = {"air_c": 30.0, "humidity_pct": 40.0, "wind_ms": 5.0}


def test_hot_dry_wind_is_told_with_place_slot_and_source() -> None:
    """By Uno: 5 (48^2.5 - 0.4 * 48^2.5) (11.7 + 4) 1e-6 = 0.75 kg/m² h at 5 m/s * 0.65 = 11.7 km/h over the face."""
    [finding] = advised(cast(), HOT, "evaporation")
    exact = 5e-6 * 48**2.5 * 0.6 * (5.0 * 3.6 * WIND_AT_FACE + 4)
    assert exact == pytest.approx(0.752, abs=1e-3)
    assert (finding.place, finding.weight) == ("E1/cast", "advice")
    assert finding.slot is not None
    assert START <= finding.slot <= FINISH + 16
    assert "about 0.8 kg/m² h" in finding.found
    assert "Uno 1998, ±40 %" in finding.found
    assert "wind of 12 km/h" in finding.found


def test_mild_weather_is_not_told() -> None:
    assert advised(cast(), {"air_c": 12.0, "humidity_pct": 70.0, "wind_ms": 3.0}, "evaporation") == []


@pytest.mark.parametrize(
    ("slot", "told"), [(START - 1, False), (START, True), (FINISH + 16, True), (FINISH + 17, False)]
)
def test_only_from_placing_to_four_hours_after_it(slot: int, told: bool) -> None:
    job = cast()
    wind = course(job, 0.5)
    wind[slot] = 12.0
    assert bool(advised(job, {**HOT, "wind_ms": wind}, "evaporation")) is told


@pytest.mark.parametrize(("humidity", "told"), [(56.3, False), (55.5, True)])
def test_a_rate_that_shows_as_the_limit_is_within_it(humidity: float, told: bool) -> None:
    """0.548 shows as 0.5 and passes; 0.558 shows as 0.6 and does not: words never contradict the judgement."""
    assert bool(advised(cast(), {**HOT, "humidity_pct": humidity}, "evaporation")) is told


def test_off_the_chart_is_said() -> None:
    [finding] = advised(cast(), {**HOT, "wind_ms": 20.0}, "evaporation")
    assert "off the usual chart" in finding.found


def test_a_warm_surface_under_cold_air_counts_as_warm_mortar() -> None:
    cold_air = {"air_c": 5.0, "humidity_pct": 60.0, "wind_ms": 10.0}
    assert advised(cast(), cold_air, "evaporation") == []
    assert advised(cast(), {**cold_air, "surface_c": np.full(1, 25.0)}, "evaporation")


@pytest.mark.parametrize("names", [{}, {"products": {"mortar": "grout"}}])
@pytest.mark.parametrize(("covered_h", "told"), [(1.0, False), (3.0, True), (None, True)])
def test_what_is_covered_does_not_dry(covered_h: float | None, told: bool, names: dict[str, Any]) -> None:
    """Dry wind from two hours after the cast; wet hessian, half an hour's work, is on by then, later or never."""
    called = "mortar" if names else "grout"
    job = with_hessian(cast(), called)
    [element] = job.elements
    job = job.model_copy(update={"elements": (element.model_copy(update=names),)})
    visits = [visit("E1/cast", "G1", START, 2.0)]
    if covered_h is not None:
        visits.append(visit("E1/hessian", "G1", FINISH + round(covered_h * 4) - 2, 0.5))
    wind = course(job, 0.5, **{f"from_{FINISH + 8}": 12.0})
    found = advice(job, weather_of(job, {**HOT, "wind_ms": wind}), plan_of(*visits))
    assert any(one.code == "evaporation" for one in found) is told


def with_hessian(job: Job, product: str) -> Job:
    """Return the job with wet hessian over `product` at the method's end."""
    [method] = job.methods
    cure = method.operations[-1].model_copy(
        update={"id": "hessian", "product": None, "covers": product, "cautions": (), "follows": None}
    )
    return job.model_copy(update={"methods": (method.model_copy(update={"operations": (*method.operations, cure)}),)})
