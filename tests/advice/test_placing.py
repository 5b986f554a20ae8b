"""Advice on heat and cold while cement is placed."""

from __future__ import annotations

import pytest

from tests.advice.cases import FINISH, START, advised, cast, course


@pytest.mark.parametrize(
    ("warmth", "told", "over"), [(30.04, False, False), (30.06, True, False), (31.0, True, False), (36.0, True, True)]
)
def test_hot_weather(warmth: float, told: bool, over: bool) -> None:
    found = advised(cast(), {"air_c": warmth, "humidity_pct": 90.0}, "hot-weather")
    assert bool(found) is told
    assert all(("none is placed" in one.found) is over for one in found)


def test_a_hot_surface_under_mild_air_is_told_as_surface() -> None:
    [finding] = advised(cast(), {"air_c": 24.0, "surface_c": 33.0}, "hot-weather")
    assert finding.found.startswith("surface of 33.0 °C")


@pytest.mark.parametrize(("slot", "told"), [(START - 1, False), (START, True), (FINISH, True), (FINISH + 1, False)])
def test_heat_counts_while_it_is_placed(slot: int, told: bool) -> None:
    job = cast()
    air = course(job, 20.0)
    air[slot] = 33.0
    assert bool(advised(job, {"air_c": air, "humidity_pct": 95.0}, "hot-weather")) is told


@pytest.mark.parametrize(("code_set", "warmth", "told"), [("en", 4.5, True), ("en", 5.0, False), ("aci", 9.0, True)])
def test_cold_placing(code_set: str, warmth: float, told: bool) -> None:
    """EN 206 5.2.9: 5 °C at delivery. ACI 306R table 3.1 (from memory): 10 °C for 0.3 m."""
    assert bool(advised(cast(code_set=code_set), {"air_c": warmth}, "cold-placing")) is told
