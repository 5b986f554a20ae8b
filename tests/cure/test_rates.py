"""Hours of a curve at constant temperatures: interpolation, and the safe side beyond the points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cure.rates import AT_ONCE_H, curve_hours, opening_hours, shutting_hours
from planner.model import GapCurve
from tests.cure.curves import gap_curves, slow_hours

SHEET = ((5.0, 24.0), (10.0, 16.0), (20.0, 8.0), (30.0, 4.0))
GAS_CONSTANT = 8.314462  # J/(mol K), CODATA 2018
KELVIN = 273.15


@pytest.mark.parametrize(("warmth", "hours"), [(10.0, 16.0), (20.0, 8.0), (30.0, 4.0)])
def test_rate_doubling_each_ten_degrees_gives_the_rule_of_thumb(warmth: float, hours: float) -> None:
    """8 h at 20 °C is 16 h at 10 °C and 4 h at 30 °C: common practice, no source. Only the two ends are given."""
    doubling = ((0.0, 32.0), (40.0, 2.0))
    assert curve_hours(doubling, warmth) == pytest.approx(hours, rel=1e-12)
    assert curve_hours(doubling, warmth, shuts=True) == pytest.approx(hours, rel=1e-12)


@pytest.mark.parametrize("activation_kj", [33.5, 40.0, 45.0, 50.0, 55.0, 60.0])
def test_between_points_ten_kelvin_apart_it_keeps_within_one_percent_of_arrhenius(activation_kj: float) -> None:
    """Activation energies span measured portland cement (NIST AmCeram: 35-42 kJ/mol) and epoxy with primary
    amine (55-60 kJ/mol, Thermochimica Acta 447:167, 2006)."""

    def hours(warmth_c: np.ndarray) -> np.ndarray:
        scale = 1000 * activation_kj / GAS_CONSTANT
        return 8.0 * np.exp(scale * (1 / (warmth_c + KELVIN) - 1 / (20.0 + KELVIN)))

    knots = np.array([5.0, 15.0, 25.0, 35.0])
    between = np.linspace(5.0, 35.0, 301)
    found = curve_hours(tuple(zip(knots.tolist(), hours(knots).tolist(), strict=True)), between)
    error = np.abs(found / hours(between) - 1)
    assert error.max() < 0.01
    assert error.max() > 0.001, "else the check compares a form with itself"


def test_colder_than_the_sheet_the_opening_clock_stands_still() -> None:
    hours = curve_hours(SHEET, [-60.0, 4.999, 5.0])
    assert hours[0] == hours[1] == math.inf
    assert hours[2] == pytest.approx(24.0)


def test_stated_stall_is_reached_on_the_first_slope_and_not_passed() -> None:
    hours = curve_hours(SHEET, [0.0, 2.0, 1.999], stalls_below_c=0.0)
    assert hours[0] == pytest.approx(36.0), "the first 5 K multiply by 1.5, so do the next 5 K"
    assert hours[1] == pytest.approx(24.0 * 1.5**0.6)
    assert hours[2] == pytest.approx(24.0 * 1.5 ** (3.001 / 5))
    assert curve_hours(SHEET, -0.001, stalls_below_c=0.0) == math.inf


def test_one_point_with_a_stall_is_constant_down_to_it() -> None:
    hours = curve_hours(((10.0, 6.0),), [2.0, 5.0, 10.0, 40.0], stalls_below_c=2.0)
    assert hours == pytest.approx([6.0, 6.0, 6.0, 6.0])
    assert curve_hours(((10.0, 6.0),), 1.99, stalls_below_c=2.0) == math.inf


def test_hotter_than_the_sheet_it_opens_no_sooner_and_shuts_ever_sooner() -> None:
    assert curve_hours(SHEET, [30.0, 31.0, 60.0]) == pytest.approx([4.0, 4.0, 4.0])
    assert curve_hours(SHEET, [30.0, 40.0, 50.0], shuts=True) == pytest.approx([4.0, 2.0, 1.0])


def test_colder_than_the_sheet_it_shuts_no_later() -> None:
    assert curve_hours(SHEET, [5.0, 0.0, -30.0], shuts=True) == pytest.approx([24.0, 24.0, 24.0])


def test_one_point_shuts_alike_at_every_temperature() -> None:
    assert curve_hours(((20.0, 3.0),), [-40.0, 20.0, 80.0], shuts=True) == pytest.approx([3.0, 3.0, 3.0])


def test_steep_slope_continued_far_beyond_the_sheet_ends_at_once_and_not_in_overflow() -> None:
    steep = ((20.0, 100.0), (20.5, 0.01))
    assert curve_hours(steep, 90.0, shuts=True) == pytest.approx(AT_ONCE_H)


def test_missing_curves_are_always_open_and_never_shut() -> None:
    assert opening_hours(GapCurve(not_after=SHEET), [0.0, 20.0]).tolist() == [0.0, 0.0]
    assert shutting_hours(GapCurve(not_before=SHEET), [0.0, 20.0]).tolist() == [math.inf, math.inf]


@settings(max_examples=200, deadline=None)
@given(gap_curves(), st.floats(-20.0, 60.0))
def test_hours_agree_with_a_case_by_case_statement(curve: GapCurve, warmth: float) -> None:
    assert opening_hours(curve, warmth) == pytest.approx(slow_hours(curve, warmth, shuts=False), rel=1e-9)
    assert shutting_hours(curve, warmth) == pytest.approx(
        max(slow_hours(curve, warmth, shuts=True), AT_ONCE_H), rel=1e-9
    )
