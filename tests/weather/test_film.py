"""The film against the standard's table."""

from __future__ import annotations

import numpy as np
import pytest

from planner.errors import OutOfRangeError
from planner.weather.film import biot_number, film_w_m2k

EN_ISO_6946 = [(1, 0.08), (2, 0.06), (3, 0.05), (4, 0.04), (5, 0.04), (7, 0.03), (10, 0.02)]
"""Wind [m/s] and outer surface resistance [m²K/W] at 10 °C, ε = 0.9: EN ISO 6946 annex, from memory. Printed to 0.01;
its 0.04 at 5 m/s is 0.0349 by its own formula."""


@pytest.mark.parametrize(("wind_ms", "resistance"), EN_ISO_6946)
def test_film_coefficient_as_the_standards_table(wind_ms: float, resistance: float) -> None:
    assert 1 / film_w_m2k(wind_ms, 10.0) == pytest.approx(resistance, abs=0.0052)


@pytest.mark.parametrize(("air_c", "black_body"), [(-10, 4.1), (0, 4.6), (10, 5.1), (20, 5.7), (30, 6.3)])
def test_radiative_part_of_the_film(air_c: float, black_body: float) -> None:
    # h_r0 of EN ISO 6946, printed to 0.1 W/(m²K), from memory.
    assert film_w_m2k(0.0, air_c, emissivity=1.0) - 4.0 == pytest.approx(black_body, abs=0.06)


def test_arrays_are_taken_value_by_value() -> None:
    wind, air = np.array([0.0, 5.0]), np.array([-5.0, 20.0])
    assert film_w_m2k(wind, air) == pytest.approx([film_w_m2k(0.0, -5.0), film_w_m2k(5.0, 20.0)])


def test_a_negative_wind_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"wind is 0 m/s or more, not -1"):
        film_w_m2k(-1.0, 10.0)


def test_biot_number_of_a_worked_example() -> None:
    # Çengel, Heat and Mass Transfer, ex. 4-1: sphere of 1 mm, characteristic length r/3, h 210, k 35: Bi = 0.001.
    assert biot_number(210.0, 0.001 / 6, 35.0) == pytest.approx(0.001, abs=1e-6)
