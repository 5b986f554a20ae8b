"""Loss to the sky: Berdahl & Martin by hand, another published model beside it, cloud at its ends."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.weather.sky import sky_emissivity, sky_loss_w_m2


def clear(dew_c: float) -> float:
    return float(sky_emissivity(np.array([dew_c]), np.array([0.0]))[0])


@pytest.mark.parametrize(("dew_c", "emissivity"), [(-10, 0.6623), (0, 0.711), (10, 0.7743), (20, 0.8522)])
def test_clear_sky_by_hand(dew_c: float, emissivity: float) -> None:
    # 0.711 + 0.56 t + 0.73 t², t = dew point / 100, worked out by hand.
    assert clear(dew_c) == pytest.approx(emissivity, abs=1e-12)


def test_another_published_model_is_near() -> None:
    # Walton 1983 (NBSIR 83-2655) prints for air at 20 °C and dew point 10 °C: ε = 0.815, 340.6 W/m² (Clark & Allen
    # 1978). The two fits part by 0.04, 17 W/m²: that is how well a clear sky is known.
    theirs = 0.787 + 0.764 * math.log(283 / 273)
    assert theirs == pytest.approx(0.815, abs=0.001)
    assert clear(10.0) == pytest.approx(theirs, abs=0.042)
    assert clear(10.0) < theirs


def test_full_cloud_leaves_16_percent_of_the_loss() -> None:
    air, dew = np.full(3, 10.0), np.full(3, 6.0)
    loss = sky_loss_w_m2(air, dew, np.array([0.0, 50.0, 100.0]))
    assert loss[1:] / loss[0] == pytest.approx([0.58, 0.16])


def test_a_clear_night_of_ten_degrees() -> None:
    # 0.9 × 5.670374e-8 × 283.15⁴ × (1 − 0.7472) with dew point 6 °C: by hand.
    assert sky_loss_w_m2(np.array([10.0]), np.array([6.0]), np.array([0.0])) == pytest.approx([82.93], abs=0.02)


@settings(max_examples=60, deadline=None)
@given(st.floats(-40, 45), st.floats(-60, 40), st.floats(0, 100))
def test_the_sky_is_never_warmer_than_the_air(air_c: float, dew_c: float, cloud_pct: float) -> None:
    loss = float(sky_loss_w_m2(np.array([air_c]), np.array([dew_c]), np.array([cloud_pct]))[0])
    assert 0.0 < loss < 200.0
