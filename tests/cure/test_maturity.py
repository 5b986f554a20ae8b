"""Laws of maturity against published numbers; each test names where its number comes from."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cure.maturity import (
    ASTM_C1074,
    C1074_MATURITY,
    EN_B10,
    FHP,
    LAWS,
    SAUL,
    Arrhenius,
    NurseSaul,
    counted_rate,
    equivalent_age_h,
    maturity_c_h,
    own_law,
)

STEPS_C = (20, 15, 8, 5, 12)
STEPS_H = (6, 6, 12, 24, 24)
"""An own history of 72 h in five steps; its sums below were worked out once by hand sheet, apart from this code."""

EVERY_LAW = [*LAWS.values(), C1074_MATURITY, own_law(45.0, 20.0)]


def test_b10_of_steps_in_the_published_tests_of_the_model_code() -> None:
    """fib structuralcodes, test_t_T: 1 d at 20 °C, 7 d at 20 °C, 7 d at 20 and 7 d at 25 °C (found in its source)."""
    assert equivalent_age_h(EN_B10, [20], [1]) == pytest.approx(0.99812, abs=5e-6)
    assert equivalent_age_h(EN_B10, [20], [7]) == pytest.approx(6.98687, abs=5e-6)
    assert equivalent_age_h(EN_B10, [20, 25], [7, 7]) == pytest.approx(15.7723, abs=5e-5)


def test_b10_is_the_formula_as_printed_with_273_and_without_unity_at_20() -> None:
    """EN 1992-1-1:2004 eq. B.10."""
    warmths = np.linspace(0, 80, 33)
    printed = [math.exp(-(4000 / (273 + warmth) - 13.65)) for warmth in warmths]
    assert EN_B10.rate(warmths) == pytest.approx(printed, rel=1e-12)
    assert float(EN_B10.rate(20.0)) == pytest.approx(0.9981, abs=5e-5)
    assert EN_B10.reference_c == pytest.approx(20.04, abs=5e-3)


@pytest.mark.parametrize(("warmth", "rate"), [(15.0, 0.585), (35.0, 1.65)])
def test_arrhenius_of_the_nist_paste(warmth: float, rate: float) -> None:
    """38.2 kJ/mol, reference 25 °C: NIST Cement and Concrete Reference Laboratory, AmCeram paper, rates printed."""
    assert float(own_law(38.2, 25.0).rate(warmth)) == pytest.approx(rate, rel=2e-3)


@pytest.mark.parametrize(
    ("kept_c", "hours", "maturity"),
    [
        (
            (18,),
            (28 * 24,),
            19_488,
        ),  # 28 d at 18 °C, as printed in a tutorial that rounds it to 19 800
        ((20, 10), (7 * 12, 7 * 12), 4_368),  # a week of 12 h at 20 and 12 h at 10 °C (Shetty, from memory)
        ((15,), (28 * 24,), 728 * 24),  # 28 d at 15 °C is 728 °C d in a second tutorial
    ],
)
def test_maturity_above_minus_eleven(kept_c: tuple[float, ...], hours: tuple[float, ...], maturity: float) -> None:
    """Plowman's datum of -11 °C, in the printed examples."""
    assert maturity_c_h(-11, kept_c, hours) == pytest.approx(maturity)


@pytest.mark.parametrize(("datum_c", "maturity"), [(0, 714.0), (-10, 1434.0)])
def test_maturity_of_the_own_history(datum_c: float, maturity: float) -> None:
    assert maturity_c_h(datum_c, STEPS_C, STEPS_H) == pytest.approx(maturity)


@pytest.mark.parametrize(
    ("law", "age_h"),
    [
        (EN_B10, 45.197),
        (ASTM_C1074, 34.214),
        (own_law(40.0, 20.0), 41.518),
        (SAUL, 1434 / 30),
    ],
    ids=["EN B.10", "C1074", "40 kJ/mol", "Saul"],
)
def test_equivalent_age_of_the_own_history(law: Arrhenius, age_h: float) -> None:
    """Regression values; 20 against 23 °C and 273 against 273.15 make the differences."""
    assert equivalent_age_h(law, STEPS_C, STEPS_H) == pytest.approx(age_h, abs=6e-4)


@pytest.mark.parametrize(("warmth", "rate"), [(5, 0.2922), (10, 0.4970), (15, 0.7474), (30, 1.5744)])
def test_freiesleben_hansen(warmth: float, rate: float) -> None:
    """33.5 + 1.47 (20 - T) kJ/mol (from memory); the rates follow by the formula, worked out apart from this code."""
    assert float(FHP.rate(warmth)) == pytest.approx(rate, abs=6e-5)


@pytest.mark.parametrize(("law", "reference_c"), [(EN_B10, 20.0403), (ASTM_C1074, 23), (SAUL, 20), (FHP, 20)])
def test_one_hour_at_the_reference_is_one_hour(law: Arrhenius, reference_c: float) -> None:
    assert float(law.rate(reference_c)) == pytest.approx(1.0, abs=1e-5)


def test_astm_and_european_ages_are_not_mixed_up() -> None:
    """At 23 °C an hour counts 1 in ASTM and 1.15 in EN 1992-1-1: the same concrete has two ages."""
    assert float(ASTM_C1074.rate(20.0)) == pytest.approx(math.exp(-5000 * (1 / 293 - 1 / 296)))
    assert float(ASTM_C1074.rate(20.0)) < 0.85 < 0.99 < float(EN_B10.rate(20.0))


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(EVERY_LAW), st.floats(-40, 100), st.floats(0, 20))
def test_warmer_never_counts_less(law: Arrhenius, warmth: float, warmer: float) -> None:
    assert counted_rate(law, warmth) <= counted_rate(law, warmth + warmer)


@pytest.mark.parametrize("law", EVERY_LAW)
def test_nothing_counts_below_zero_nor_more_above_eighty(law: Arrhenius) -> None:
    assert counted_rate(law, [-0.01, -30.0]).tolist() == [0.0, 0.0]
    assert counted_rate(law, 95.0) == counted_rate(law, 80.0)


@pytest.mark.parametrize("law", EVERY_LAW)
def test_every_law_says_where_it_comes_from(law: Arrhenius) -> None:
    assert law.name
    assert law.source


def test_laws_that_mean_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="above the datum"):
        NurseSaul("x", "x", datum_c=20.0, reference_c=20.0)
    with pytest.raises(ValueError, match="above 0"):
        Arrhenius("x", "x", activation_k=0.0, reference_c=20.0)
