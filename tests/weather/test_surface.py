"""Element temperatures against exact solutions of the heat equation for a slab behind a film."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import OutOfRangeError
from planner.weather.surface import DEFAULTS, element_temperature

SLOTS_A_DAY = 96
STEP_S = 900.0
CONDUCTIVITY_W_MK = DEFAULTS.conductivity_w_mk
DIFFUSIVITY_M2_S = CONDUCTIVITY_W_MK / (DEFAULTS.heat_capacity_mj_m3k * 1e6)


def daily_wave(days: int = 30) -> np.ndarray:
    """Return a sine of 1 K about 0 °C, period 24 h, at slot boundaries."""
    return np.sin(2 * np.pi * np.arange(days * SLOTS_A_DAY + 1) / SLOTS_A_DAY)


def amplitude_and_lag_h(values: np.ndarray) -> tuple[float, float]:
    """Return amplitude [K] and lag [h] behind `daily_wave` of the last 10 days."""
    last = values[-10 * SLOTS_A_DAY - 1 : -1]
    at = np.arange(len(values))[-10 * SLOTS_A_DAY - 1 : -1]
    wave = 2j * (last * np.exp(-2j * np.pi * at / SLOTS_A_DAY)).mean()
    return abs(wave), -np.angle(wave) * 24 / (2 * np.pi)


SINE_TABLE = [
    (0.02, 0.989, 0.53, 0.989, 0.57),
    (0.05, 0.924, 1.25, 0.921, 1.52),
    (0.10, 0.746, 1.88, 0.705, 2.94),
    (0.15, 0.627, 1.78, 0.499, 3.82),
    (0.20, 0.594, 1.49, 0.361, 4.23),
    (0.30, 0.608, 1.25, 0.223, 4.35),
]
"""Thickness [m]; amplitude and lag [h] of the surface, then of the mean, at h = 25: worked out apart from this
program, and rounded."""


def exact_waves(depth_m: float, film: float) -> tuple[complex, complex]:
    """Return the daily wave of surface and mean as complex shares of the environment's.

    Surface h / (h + λ q tanh qL), mean the same × tanh(qL) / qL, q = √(iω ρc/λ) (Carslaw & Jaeger 1959, §3.6).
    """
    q = np.sqrt(2j * np.pi / (24 * 3600 * DIFFUSIVITY_M2_S))
    surface = film / (film + CONDUCTIVITY_W_MK * q * np.tanh(q * depth_m))
    return surface, surface * np.tanh(q * depth_m) / (q * depth_m)


def share_and_lag_h(wave: complex) -> tuple[float, float]:
    return abs(wave), -float(np.angle(wave)) * 24 / (2 * np.pi)


@pytest.mark.parametrize(("thickness_m", "surface", "surface_lag_h", "mean", "mean_lag_h"), SINE_TABLE)
def test_the_daily_wave(
    thickness_m: float, surface: float, surface_lag_h: float, mean: float, mean_lag_h: float
) -> None:
    found = element_temperature(daily_wave(), thickness_m, 1, 25.0)
    exact = [share_and_lag_h(wave) for wave in exact_waves(thickness_m, 25.0)]
    assert [*exact[0], *exact[1]] == pytest.approx([surface, surface_lag_h, mean, mean_lag_h], abs=0.0051)
    assert amplitude_and_lag_h(found.surface_c) == pytest.approx(exact[0], abs=0.006)
    assert amplitude_and_lag_h(found.mean_c) == pytest.approx(exact[1], abs=0.006)


@pytest.mark.parametrize(("film", "share", "lag_h"), [(25.0, 0.618, 1.27), (10.0, 0.374, 1.98)])
@pytest.mark.parametrize("thickness_m", [0.8, 1.2, 3.0])
def test_a_thick_element_is_a_half_space(thickness_m: float, film: float, share: float, lag_h: float) -> None:
    # Half-space behind a film: amplitude 1/√((1+k)² + k²), k = λ/(h d), d = √(2λ/(ρcω)) (Carslaw & Jaeger §2.8).
    k = CONDUCTIVITY_W_MK / film / math.sqrt(2 * DIFFUSIVITY_M2_S * 24 * 3600 / (2 * math.pi))
    exact = share_and_lag_h(1 / complex(1 + k, k))
    assert exact == pytest.approx((share, lag_h), abs=0.0051)
    found = element_temperature(daily_wave(), thickness_m, 1, film)
    assert amplitude_and_lag_h(found.surface_c) == pytest.approx(exact, abs=0.006)


def step_at_noon(days: int) -> tuple[np.ndarray, np.ndarray]:
    """Return an environment that goes from 0 to 1 °C within one slot of day 2, and the hours since its middle."""
    environment = np.zeros(days * SLOTS_A_DAY + 1)
    environment[SLOTS_A_DAY + 48 :] = 1.0
    hours = (np.arange(len(environment)) - (SLOTS_A_DAY + 47.5)) / 4
    return environment, hours


def slab_step(depth_m: float, film: float, hours: float, terms: int = 60) -> tuple[float, float]:
    """Return surface and mean of a slab [K] after a step of 1 K: series with roots of ζ tan ζ = Bi.

    Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, eqs. 5.42a–c and 5.49 (from memory).
    """
    biot = film * depth_m / CONDUCTIVITY_W_MK
    fourier = DIFFUSIVITY_M2_S * hours * 3600 / depth_m**2
    surface = mean = 1.0
    for number in range(terms):
        low, high = number * math.pi, number * math.pi + math.pi / 2 - 1e-12
        for _ in range(200):
            middle = (low + high) / 2
            low, high = (middle, high) if middle * math.tan(middle) < biot else (low, middle)
        weight = 4 * math.sin(low) / (2 * low + math.sin(2 * low)) * math.exp(-(low**2) * fourier)
        surface -= weight * math.cos(low)
        mean -= weight * math.sin(low) / low
    return surface, mean


@pytest.mark.parametrize("film", [10.0, 20.0, 35.0])
@pytest.mark.parametrize("thickness_m", [0.04, 0.12, 0.30, 0.60])
def test_a_step_warms_a_slab_as_the_series_says(thickness_m: float, film: float) -> None:
    environment, hours = step_at_noon(6)
    found = element_temperature(environment, thickness_m, 1, film)
    for slots_later in (4, 8, 24, 48, 96, 300):
        slot = SLOTS_A_DAY + 48 + slots_later
        surface, mean = slab_step(thickness_m, film, hours[slot])
        assert found.surface_c[slot] == pytest.approx(surface, abs=0.006)
        assert found.mean_c[slot] == pytest.approx(mean, abs=0.004)


@pytest.mark.parametrize("film", [8.0, 25.0])
def test_a_step_warms_a_half_space_as_the_error_function_says(film: float) -> None:
    # Surface of a half-space behind a film: 1 − e^{β²} erfc β, β = h √(at) / λ (Carslaw & Jaeger 1959, §2.7).
    environment, hours = step_at_noon(3)
    found = element_temperature(environment, 3.0, 1, film)
    for slots_later in (4, 8, 24, 48, 72):
        slot = SLOTS_A_DAY + 48 + slots_later
        beta = film * math.sqrt(DIFFUSIVITY_M2_S * hours[slot] * 3600) / CONDUCTIVITY_W_MK
        assert found.surface_c[slot] == pytest.approx(1 - math.exp(beta**2) * math.erfc(beta), abs=0.006)


def test_two_faces_are_half_the_thickness() -> None:
    wave = daily_wave(3)
    both, half = element_temperature(wave, 0.3, 2), element_temperature(wave, 0.15, 1)
    assert both.surface_c == pytest.approx(half.surface_c)
    assert both.mean_c == pytest.approx(half.mean_c)


def test_a_steady_environment_stays_steady() -> None:
    found = element_temperature(np.full(500, 7.25), 0.4, 1)
    assert found.surface_c == pytest.approx(7.25)
    assert found.mean_c == pytest.approx(7.25)


def test_a_periodic_environment_needs_no_warming_up() -> None:
    found = element_temperature(10 + 5 * daily_wave(20), 1.0, 1)
    first, last = slice(0, SLOTS_A_DAY), slice(-SLOTS_A_DAY - 1, -1)
    assert found.surface_c[first] == pytest.approx(found.surface_c[last], abs=1e-6)


def test_a_single_boundary_is_answered() -> None:
    found = element_temperature(np.array([4.0]), 0.3, 1)
    assert found.surface_c == pytest.approx([4.0])


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(-20, 40), min_size=10, max_size=60),
    st.floats(0.02, 2.0),
    st.sampled_from([1, 2]),
    st.floats(8, 60),
)
def test_never_hotter_or_colder_than_the_air_has_been(
    hours: list[float], thickness_m: float, faces: int, film: float
) -> None:
    air_c = np.interp(np.arange(len(hours) * 4 - 3) / 4, np.arange(len(hours)), hours)
    found = element_temperature(air_c, thickness_m, faces, film)
    for values in (found.surface_c, found.mean_c):
        assert values.min() >= air_c.min() - 0.02
        assert values.max() <= air_c.max() + 0.02


@pytest.mark.parametrize(("thickness_m", "faces", "film"), [(0.0, 1, 20.0), (0.3, 3, 20.0), (0.3, 1, 0.0)])
def test_impossible_elements_are_refused(thickness_m: float, faces: int, film: float) -> None:
    with pytest.raises(OutOfRangeError, match="an element needs"):
        element_temperature(daily_wave(1), thickness_m, faces, film)
