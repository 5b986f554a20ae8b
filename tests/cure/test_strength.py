"""Strength development against EN 1992-1-1, its inverse, and the fit to results."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cure.codes import ACI, EN
from planner.cure.maturity import FHP
from planner.cure.strength import (
    StrengthCurve,
    development,
    development_class,
    fit_strength,
    law_of,
    strength_curve,
)
from planner.errors import OutOfRangeError
from planner.model import Strength

DAY_H = 24.0


def test_development_in_the_published_unit_test_of_eq_3_2() -> None:
    """fib structuralcodes, EN 1992-1-1 eq. 3.2: 10 d, s = 0.25 (found in its source)."""
    assert float(development(10 * DAY_H, 0.25)) == pytest.approx(0.84507490, abs=5e-9)


def test_c40_50_at_seven_days_in_a_published_verification() -> None:
    """xc verification test_ec2_concrete_02: fck(7 d) of C40/50, s = 0.25, is fcm(7 d) - 8 (found in its source)."""
    assert float(StrengthCurve(48.0, 0.25).at(7 * DAY_H)) - 8 == pytest.approx(29.382437587, abs=5e-9)


@pytest.mark.parametrize(
    ("s", "shares"),
    [
        (0.20, (0.4239, 0.5779, 0.6630, 0.8187, 0.9205, 1.0, 1.0925)),
        (0.25, (0.3420, 0.5039, 0.5982, 0.7788, 0.9016, 1.0, 1.1169)),
        (0.38, (0.1958, 0.3528, 0.4580, 0.6839, 0.8544, 1.0, 1.1830)),
    ],
)
def test_development_of_the_three_classes_of_cement(s: float, shares: tuple[float, ...]) -> None:
    """EN 1992-1-1:2004 eq. 3.2 at 1, 2, 3, 7, 14, 28 and 90 d, worked out apart from this code."""
    ages_h = np.array([1, 2, 3, 7, 14, 28, 90]) * DAY_H
    assert development(ages_h, s) == pytest.approx(shares, abs=6e-5)


@pytest.mark.parametrize(("s", "hours"), [(0.20, 5.4), (0.25, 8.1), (0.38, 16.7)])
def test_c30_37_reaches_5_mpa(s: float, hours: float) -> None:
    """Mean 38 MPa at 20 °C, by eq. 3.2 run backwards; all under a day, where the formula is not to be trusted."""
    curve = StrengthCurve(38.0, s)
    assert curve.age_h(5.0) == pytest.approx(hours, abs=0.05)
    assert curve.gate_h(5.0) == 24.0


@pytest.mark.parametrize(
    ("ratio", "word"),
    [
        (0.51, "rapid"),
        (0.50, "rapid"),
        (0.499, "medium"),
        (0.30, "medium"),
        (0.299, "slow"),
        (0.15, "slow"),
        (0.14, "very-slow"),
    ],
)
def test_development_class(ratio: float, word: str) -> None:
    """Limits of r = fcm2 / fcm28 in DIN 1045-3 (published) and EN 13670 Annex F (from memory)."""
    assert development_class(ratio) == word


@pytest.mark.parametrize(("s", "word"), [(0.20, "rapid"), (0.25, "rapid"), (0.38, "medium")])
def test_the_cements_of_eq_3_2_by_their_ratio(s: float, word: str) -> None:
    """r = 0.578, 0.504 and 0.353: class N is rapid by a hair."""
    assert development_class(StrengthCurve(40.0, s).ratio) == word


@settings(max_examples=80, deadline=None)
@given(st.floats(10, 120), st.floats(0.05, 0.6), st.floats(0.05, 1.1))
def test_age_is_the_inverse_of_strength(fcm28: float, s: float, share: float) -> None:
    curve = StrengthCurve(fcm28, s)
    mpa = fcm28 * share
    if mpa < float(curve.at(400 * DAY_H)):
        assert float(curve.at(curve.age_h(mpa))) == pytest.approx(mpa, rel=1e-9)


def test_a_strength_that_never_comes_is_out_of_range() -> None:
    with pytest.raises(OutOfRangeError, match="50 MPa is not reached: at most"):
        StrengthCurve(40.0, 0.20).age_h(50.0)


def test_no_strength_at_no_age() -> None:
    assert development([0.0, -3.0], 0.25).tolist() == [0.0, 0.0]


@settings(max_examples=60, deadline=None)
@given(st.floats(15, 110), st.floats(0.06, 0.6))
def test_fit_finds_the_curve_again_from_exact_results(fcm28: float, s: float) -> None:
    ages_h = np.array([12.0, 24.0, 48.0, 168.0, 672.0])
    found = fit_strength(ages_h.tolist(), (fcm28 * development(ages_h, s)).tolist())
    assert (found.fcm28_mpa, found.s) == pytest.approx((fcm28, s), rel=1e-6)
    assert found.error_mpa == pytest.approx(0.0, abs=1e-5)
    assert (found.youngest_h, found.oldest_h, found.tests) == (12.0, 672.0, 5)


def test_fit_of_noisy_results_comes_near_and_says_how_near() -> None:
    """Fifty sets of cubes with 2 MPa of scatter: the mean of the fits is the truth, their error is the scatter."""
    ages_h = np.repeat([24.0, 72.0, 168.0, 672.0], 3)
    true = 50.0 * development(ages_h, 0.25)
    draw = np.random.default_rng(7)
    fits = [fit_strength(ages_h.tolist(), (true + draw.normal(0, 2.0, 12)).tolist()) for _ in range(50)]
    assert np.mean([fit.fcm28_mpa for fit in fits]) == pytest.approx(50.0, abs=0.7)
    assert np.mean([fit.s for fit in fits]) == pytest.approx(0.25, abs=0.01)
    assert np.mean([fit.error_mpa for fit in fits]) == pytest.approx(2.0 * np.sqrt(10 / 12), abs=0.2)


def test_fit_is_the_least_of_its_neighbourhood() -> None:
    ages_h, mpa = np.array([20.0, 50.0, 170.0, 700.0]), np.array([17.0, 33.0, 41.0, 55.0])
    found = fit_strength(ages_h.tolist(), mpa.tolist())
    least = np.sum((found.at(ages_h) - mpa) ** 2)
    for fcm28, s in [(1.001, 1.0), (0.999, 1.0), (1.0, 1.003), (1.0, 0.997)]:
        other = StrengthCurve(found.fcm28_mpa * fcm28, found.s * s)
        assert np.sum((other.at(ages_h) - mpa) ** 2) > least


@pytest.mark.parametrize("mpa", [(40.0, 30.0, 20.0), (30.0, 30.0, 30.0)])
def test_results_that_don_t_rise_are_refused(mpa: tuple[float, ...]) -> None:
    with pytest.raises(OutOfRangeError, match="rise with age"):
        fit_strength([24.0, 72.0, 672.0], mpa)


def test_one_age_is_not_enough() -> None:
    with pytest.raises(OutOfRangeError, match="two ages"):
        fit_strength([24.0, 24.0], [10.0, 11.0])


def test_cubes_kept_cold_are_brought_to_the_reference_by_the_law() -> None:
    """A cube of 48 h at 5 °C is 22.9 h old by eq. B.10; so it says the same as one of 22.9 h at 20.04 °C."""
    warm = strength_curve(Strength(tests=((22.934, 20.0403, 20.0), (672.0, 20.0403, 60.0))), EN.law)
    cold = strength_curve(Strength(tests=((48.0, 5.0, 20.0), (672.0, 20.0403, 60.0))), EN.law)
    assert (cold.fcm28_mpa, cold.s) == pytest.approx((warm.fcm28_mpa, warm.s), rel=1e-4)
    assert cold.youngest_h == pytest.approx(22.934, abs=0.01)


def test_whose_law_counts() -> None:
    plain = Strength(fcm28_mpa=50.0, s=0.2)
    assert law_of(plain, EN.law) is EN.law
    assert law_of(plain, ACI.law) is ACI.law
    assert law_of(plain.model_copy(update={"maturity": "fhp"}), EN.law) is FHP
    own = plain.model_copy(update={"activation_kj_mol": 40.0})
    assert (law_of(own, EN.law).reference_c, law_of(own, ACI.law).reference_c) == (20.0, 23.0)
