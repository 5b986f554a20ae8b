"""Dew point against psychrolib, published points and two station-years."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.weather import dew_point_c
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, station

psychrolib.SetUnitSystem(psychrolib.SI)

PUBLISHED = [
    (16.0, 71.0, 11.0, 0.5, "a paint maker's application conditions, printed to the degree"),
    (30.0, 55.0, 20.0, 0.5, "a glossary of coating terms, printed to the degree"),
    (22.0, 78.0, 17.98, 0.02, "a worked exercise in meteorology"),
]


@pytest.mark.parametrize(("air_c", "humidity_pct", "dew_c", "tolerance_k", "source"), PUBLISHED)
def test_published_points(air_c: float, humidity_pct: float, dew_c: float, tolerance_k: float, source: str) -> None:
    assert dew_point_c(air_c, humidity_pct) == pytest.approx(dew_c, abs=tolerance_k), source


@pytest.mark.parametrize(
    ("air", "humidity", "tolerance_k"),
    [(range(0, 36), range(50, 101, 2), 0.02), (range(0, 46), range(20, 101, 5), 0.035)],
    ids=["where gates decide", "everywhere"],
)
def test_against_psychrolib_above_freezing(air: range, humidity: range, tolerance_k: float) -> None:
    # Below 0 °C psychrolib gives the frost point over ice, which is another quantity. In hot or dry air the Magnus
    # form itself is 0.035 K off the saturation curve that psychrolib uses.
    compared = 0
    for air_c in air:
        for humidity_pct in humidity:
            reference = psychrolib.GetTDewPointFromRelHum(float(air_c), humidity_pct / 100)
            if reference >= 0.0:
                assert dew_point_c(air_c, humidity_pct) == pytest.approx(reference, abs=tolerance_k)
                compared += 1
    assert compared > 500


@pytest.mark.parametrize(("name", "bias_k"), [(GREENSBORO, 0.05), (SAND_POINT, 0.12)])
def test_against_a_year_of_measured_dew_points(name: str, bias_k: float) -> None:
    # TMY3 station-years; their humidity is a whole number, which by itself is worth 0.2–0.3 K.
    hours = [hour for hour in station(name).hours if hour.air_c > 0.0]
    ours = dew_point_c([hour.air_c for hour in hours], [hour.humidity_pct for hour in hours])
    errors = ours - np.array([hour.dew_c for hour in hours])
    assert np.sqrt((errors**2).mean()) <= 0.26
    assert abs(errors.mean()) <= bias_k


def test_saturated_air_is_at_its_dew_point() -> None:
    air_c = np.linspace(-30.0, 45.0, 200)
    assert dew_point_c(air_c, np.full(200, 100.0)) == pytest.approx(air_c, abs=1e-9)


@settings(max_examples=200, deadline=None)
@given(st.floats(-40, 50), st.floats(1, 99))
def test_it_rises_with_humidity_and_stays_below_the_air(air_c: float, humidity_pct: float) -> None:
    dew = float(dew_point_c(air_c, humidity_pct))
    assert dew < air_c
    assert dew < float(dew_point_c(air_c, humidity_pct + 0.5))


def test_bone_dry_air_gives_a_number() -> None:
    assert np.isfinite(dew_point_c(20.0, 0.0))
