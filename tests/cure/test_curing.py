"""Curing tables of three codes, and their periods on temperatures that vary."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cure.arrays import gap_arrays
from planner.cure.codes import ACI, DIN, EN, code_set
from planner.cure.curing import ACI_308, DIN_1045_3, EN_13670
from planner.cure.gates import curing_gap, development_of, period_gap
from planner.cure.rates import opening_hours
from planner.model import Product, Strength
from tests.cure.curves import courses

MEDIUM = Product(id="m", name="Mortar", development="medium")


@pytest.mark.parametrize(
    ("warmth", "days"),
    [(25.0, (1, 2, 2, 3)), (24.9, (1, 2, 4, 5)), (15.0, (1, 2, 4, 5)), (10.0, (2, 4, 7, 10)), (5.0, (3, 6, 10, 15))],
)
def test_din_1045_3(warmth: float, days: tuple[float, ...]) -> None:
    """The table as two published copies print it alike; columns for r from 0.50, from 0.30, from 0.15, and below."""
    for development, period in zip(DIN_1045_3.developments, days, strict=True):
        for curing_class in (2, 3):
            assert _days(DIN_1045_3.bands(curing_class, development), warmth) == period
        assert _days(DIN_1045_3.bands(4, development), warmth) == 2 * period


@pytest.mark.parametrize(
    ("curing_class", "table"),
    [
        (2, ((25, 1.0, 1.5, 2.5), (15, 1.0, 2.5, 5), (10, 1.5, 4, 8), (5, 2.0, 5, 11))),
        (3, ((25, 1.5, 2.5, 3.5), (15, 2.0, 4, 7), (10, 2.5, 7, 12), (5, 3.5, 9, 18))),
        (4, ((25, 3, 5, 6), (15, 5, 9, 12), (10, 7, 13, 21), (5, 9, 18, 30))),
    ],
)
def test_en_13670_annex_f(curing_class: int, table: tuple[tuple[float, ...], ...]) -> None:
    """Tables F.1 to F.3 FROM MEMORY, typed here a second time; the numbers are not confirmed by print."""
    assert "from memory" in EN_13670.certainty
    for warmth, *days in table:
        for development, period in zip(("rapid", "medium", "slow"), days, strict=True):
            assert _days(EN_13670.bands(curing_class, development), warmth) == period
    assert EN_13670.bands(curing_class, "very-slow") == ()


def test_class_1_is_twelve_hours_in_europe() -> None:
    """X0 and XC1: DIN 1045-3 as printed; EN 13670 class 1 as printed on a trade page."""
    assert EN_13670.bands(1, "slow") == DIN_1045_3.bands(1, "rapid") == ((5.0, 12.0),)


@pytest.mark.parametrize(("development", "days"), [("rapid", 3), ("medium", 7), ("slow", 10), ("very-slow", 14)])
def test_aci_308(development: str, days: float) -> None:
    """Cement types III, I, II, IV and V FROM MEMORY (type I 7 d is also in UFGS 03301A); at 10 °C and above."""
    assert ACI_308.bands(3, development) == ((10.0, days * 24.0),)


@pytest.mark.parametrize("codes", [EN, DIN, ACI])
def test_warmer_bands_and_quicker_cements_never_take_longer(codes) -> None:
    for curing_class in (1, 2, 3, 4):
        columns = [codes.curing.bands(curing_class, one) for one in codes.curing.developments]
        for bands in columns:
            hours = [period for _, period in bands]
            assert hours == sorted(hours, reverse=True)
        for quick, slow in pairwise(columns):
            assert all(q[1] <= s[1] for q, s in zip(quick, slow, strict=True))


def test_at_a_steady_temperature_the_gap_lasts_the_period_of_its_band() -> None:
    gap = curing_gap(MEDIUM, 3, DIN)
    assert gap is not None
    assert opening_hours(gap, [5.0, 9.99, 10.02, 14.99, 15.02, 40.0]) == pytest.approx([144, 144, 96, 96, 48, 48])
    assert opening_hours(gap, [4.99, -10.0]).tolist() == [np.inf, np.inf]


def test_bands_that_follow_each_other_share_the_period() -> None:
    """By hand, DIN, medium: 48 h at 12 °C are half of 4 d; 24 h at 2 °C don't count; half of 2 d at 20 °C is 24 h."""
    gap = curing_gap(MEDIUM, 3, DIN)
    assert gap is not None
    steps = [(12.0, 48), (2.0, 24), (20.0, 40)]
    course = np.concatenate([np.full(hours * 4, warmth) for warmth, hours in steps])
    opens = gap_arrays(gap, np.append(course, 20.0)).opens[0]
    assert opens == pytest.approx((48 + 24 + 24) * 4, abs=1)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from((EN, DIN, ACI)), st.sampled_from((1, 2, 3, 4)), courses(480))
def test_a_period_on_any_course_is_the_table_looked_up_every_minute(codes, curing_class: int, course) -> None:
    """The staircase's steps are 0.01 K wide and lie on the warm side: never early, and late by little."""
    product = Product(id="q", name="Quick", development="rapid")
    gap = curing_gap(product, curing_class, codes)
    assert gap is not None
    bands = codes.curing.bands(curing_class, "rapid")
    middles = np.interp((np.arange(480 * 15) + 0.5) / 15, np.arange(481), course)
    run = np.cumsum([1 / _hours(bands, warmth) / 60 for warmth in middles])
    opens = gap_arrays(gap, course).opens[0]
    by_minute = int(np.searchsorted(run, 1.0)) + 1
    if by_minute <= 480 * 15 - 60:
        assert by_minute - 20 <= opens * 15 <= by_minute + 20 + 15
    elif opens <= 480:
        assert opens * 15 >= by_minute - 90


def test_development_is_as_the_product_says_else_by_its_strength() -> None:
    strength = Strength(fcm28_mpa=50.0, s=0.38)
    assert development_of(Product(id="a", name="A", development="slow", strength=strength), EN) == "slow"
    assert development_of(Product(id="a", name="A", strength=strength), EN) == "medium"
    assert development_of(Product(id="a", name="A"), EN) is None
    assert curing_gap(Product(id="a", name="A"), 2, EN) is None


def test_the_code_sets_by_name() -> None:
    assert [code_set(id).id for id in ("en", "din", "aci")] == ["en", "din", "aci"]
    assert ACI.cold.safe_mpa == 3.5  # Powers 1962, 500 psi
    assert EN.cold.safe_mpa == DIN.cold.safe_mpa == 5.0  # EN 13670 8.5


@pytest.mark.parametrize(("thickness_m", "least_c"), [(0.1, 13), (0.3, 10), (0.9, 7), (1.8, 5), (3.0, 5)])
def test_aci_306r_least_temperature_by_thickness(thickness_m: float, least_c: float) -> None:
    """ACI 306R table 3.1: 55/50/45/40 °F by least dimension; 55 °F below 12 in found, the rest FROM MEMORY."""
    assert ACI.cold.least_placing_c(thickness_m) == least_c


def test_one_band_is_a_plain_period() -> None:
    assert period_gap(((5.0, 12.0),)).not_before == ((5.0, 12.0),)


def _hours(bands, warmth: float) -> float:
    return next((hours for low, hours in reversed(bands) if warmth >= low), np.inf)


def _days(bands, warmth: float) -> float:
    return _hours(bands, warmth) / 24
