"""Gates as gap curves: never early, and exact but for the chords."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cure.arrays import gap_arrays
from planner.cure.codes import ACI, DIN, EN
from planner.cure.gates import age_gap, strength_gap
from planner.cure.maturity import C1074_MATURITY, LAWS, MaturityLaw, counted_rate, own_law
from planner.cure.rates import opening_hours
from planner.cure.strength import StrengthCurve
from planner.model import Product, Strength
from tests.cure.curves import courses

GROUT = Product(id="g", name="Grout", strength=Strength(fcm28_mpa=60.0, s=0.25))
EVERY_LAW = [*LAWS.values(), C1074_MATURITY, own_law(15.0, 20.0), own_law(90.0, 23.0)]


@pytest.mark.parametrize("law", EVERY_LAW, ids=lambda law: law.name)
def test_chords_lie_on_or_above_the_curve_at_every_hundredth_of_a_degree(law: MaturityLaw) -> None:
    """-ln k is convex in temperature for each law, so a log-linear chord asks for more hours, never for fewer."""
    warmths = np.linspace(1.0, 80.0, 7901)
    chords = opening_hours(age_gap(law, 30.0), warmths)
    exact = 30.0 / law.rate(warmths)
    assert (chords >= exact * (1 - 1e-12)).all()
    above_five = warmths >= 5.0
    assert (chords[above_five] <= exact[above_five] * 1.006).all()


def test_chords_of_arrhenius_are_within_a_hundredth_of_a_percent() -> None:
    warmths = np.linspace(0.0, 80.0, 8001)
    exact = 30.0 / EN.law.rate(warmths)
    assert opening_hours(age_gap(EN.law, 30.0), warmths) == pytest.approx(exact, rel=1e-4)


@pytest.mark.parametrize("law", EVERY_LAW, ids=lambda law: law.name)
def test_outside_zero_to_eighty_a_gate_stands_still_or_goes_no_faster(law: MaturityLaw) -> None:
    gap = age_gap(law, 30.0)
    assert opening_hours(gap, -0.5) == np.inf
    assert opening_hours(gap, 95.0) == opening_hours(gap, 80.0)


def test_an_age_that_takes_over_400_days_in_the_cold_stands_still_there() -> None:
    gap = age_gap(C1074_MATURITY, 2_000.0)
    assert gap.not_before is not None
    assert gap.not_before[0] == (5.0, pytest.approx(2_000.0 * 23 / 5))


@pytest.mark.parametrize(("codes", "hours"), [(EN, 1.0), (DIN, 1.0), (ACI, 1.0)])
def test_a_gate_at_the_reference_temperature_is_the_age_of_eq_3_2(codes, hours: float) -> None:
    gap = strength_gap(GROUT, 35.0, codes)
    assert gap is not None
    exact = StrengthCurve(60.0, 0.25).age_h(35.0)
    assert opening_hours(gap, codes.law.reference_c) == pytest.approx(exact * hours, rel=1e-4)


def test_no_strength_no_gate() -> None:
    assert strength_gap(Product(id="p", name="P"), 30.0, EN) is None


def test_a_rapid_gate_by_formula_waits_for_a_day_but_by_tests_it_does_not() -> None:
    by_formula = Product(id="a", name="A", strength=Strength(fcm28_mpa=80.0, s=0.1))
    tests = ((2.0, 20.0, 20.0), (6.0, 20.0, 32.0), (24.0, 20.0, 46.0), (672.0, 20.0, 70.0))
    by_tests = Product(id="b", name="B", strength=Strength(tests=tests))
    at = EN.law.reference_c
    assert opening_hours(strength_gap(by_formula, 30.0, EN), at) == pytest.approx(24.0, rel=1e-4)
    assert opening_hours(strength_gap(by_tests, 30.0, EN), at) == pytest.approx(5.0, abs=1.0)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(EVERY_LAW), st.floats(2.0, 40.0), courses(240))
def test_on_any_course_a_gate_opens_no_earlier_than_the_age_is_there(law, age_h: float, course) -> None:
    """Equivalent age summed every 10 s; opens is never before it, nor more than a slot and 1 % later above 5 °C."""
    fine = np.interp((np.arange(240 * 90) + 0.5) / 90, np.arange(241), course)
    age = np.cumsum(counted_rate(law, fine)) / 360
    opens = gap_arrays(age_gap(law, age_h), course).opens[0]
    if opens <= 240:
        assert age[min(opens * 90, len(age)) - 1] >= age_h * (1 - 2e-4)
    if opens > 1 and course.min() >= 5.0:
        assert age[(opens - 1) * 90 - 1] < age_h * 1.012


@settings(max_examples=40, deadline=None)
@given(courses(240), st.floats(0.0, 10.0))
def test_warmer_never_opens_a_gate_later(course, warmer: float) -> None:
    gap = strength_gap(GROUT, 30.0, EN)
    assert gap is not None
    cool, warm = gap_arrays(gap, course), gap_arrays(gap, course + warmer)
    assert all(w <= c for w, c in zip(warm.opens, cool.opens, strict=True))
