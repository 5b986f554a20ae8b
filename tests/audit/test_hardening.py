"""The audit's own hardening and curing agree with those of the planner: rates, ages, fits, tables and clocks."""

from __future__ import annotations

import math
from typing import Any, get_args

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.audit.curing import curing_bands
from planner.audit.gates import CuringGate, StrengthGate
from planner.audit.hardening import hardening_of, rate_at
from planner.cure.arrays import gap_arrays
from planner.cure.codes import code_set
from planner.cure.gates import curing_gap, development_of, strength_gap
from planner.cure.strength import law_of, strength_curve
from planner.errors import OutOfRangeError
from planner.model import CodeId, Development, Product, Strength
from tests.cure.curves import courses

CODES = get_args(CodeId)
SLOTS = 480


@st.composite
def strengths(draw: st.DrawFn) -> Strength:
    """Return a strength typed as numbers or as results, under any law."""
    law = draw(
        st.sampled_from(
            [{}, *({"maturity": one} for one in ("en-b10", "c1074", "saul", "fhp")), {"activation_kj_mol": 45.0}]
        )
    )
    fcm28, s = draw(st.floats(20, 90)), draw(st.floats(0.08, 0.5))
    if draw(st.booleans()):
        return Strength(fcm28_mpa=fcm28, s=s, **law)
    sets = st.lists(st.sampled_from([8, 12, 24, 48, 72, 168, 336, 672]), min_size=2, max_size=6, unique=True)
    ages = sorted(draw(sets))
    assume(ages[-1] >= 4 * ages[0])
    noise = draw(st.lists(st.floats(0.92, 1.08), min_size=len(ages), max_size=len(ages)))
    kept_c = draw(st.sampled_from([10.0, 20.0, 23.0]))
    smooth = [fcm28 * math.exp(s * (1 - math.sqrt(672 / age))) for age in ages]
    read = [mpa * factor for mpa, factor in zip(smooth, noise, strict=True)]
    return Strength(tests=tuple((float(age), kept_c, mpa) for age, mpa in zip(ages, read, strict=True)), **law)


@settings(max_examples=80, deadline=None)
@given(strengths(), st.sampled_from(CODES), st.floats(0, 80))
def test_rates(strength: Strength, codes: CodeId, warmth: float) -> None:
    law = law_of(strength, code_set(codes).law)
    assert float(rate_at(strength, codes, np.array(warmth))) == pytest.approx(float(law.rate(warmth)), rel=1e-6)


@settings(max_examples=80, deadline=None)
@given(strengths(), st.sampled_from(CODES), st.floats(0.2, 1.0))
def test_two_ways_of_least_squares_give_one_curve_and_one_age(
    strength: Strength, codes: CodeId, share: float
) -> None:
    """Golden section over s against Gauss–Newton on both; closed inverse against halving."""
    curve, again = _both(strength, codes)
    found, expected = (again.fcm28_mpa, again.s, again.from_h), (curve.fcm28_mpa, curve.s, curve.youngest_h)
    assert found == pytest.approx(expected, rel=1e-5)
    mpa = curve.fcm28_mpa * share
    assert again.age_h(mpa) == pytest.approx(curve.gate_h(mpa), rel=1e-4)


def _both(strength: Strength, codes: CodeId) -> tuple[Any, Any]:
    try:
        curve = strength_curve(strength, code_set(codes).law)
    except OutOfRangeError:
        assume(False)
    return curve, hardening_of(strength, codes)


def test_a_strength_never_reached_takes_for_ever() -> None:
    assert hardening_of(Strength(fcm28_mpa=40.0, s=0.2), "en").age_h(60.0) == math.inf


@pytest.mark.parametrize("codes", CODES)
@pytest.mark.parametrize("curing_class", [1, 2, 3, 4])
@pytest.mark.parametrize("development", get_args(Development))
def test_tables_typed_twice_are_alike(codes: CodeId, curing_class: Any, development: Development) -> None:
    product = Product(id="p", name="P", development=development)
    again = tuple(sorted(curing_bands(product, curing_class, codes)))
    assert again == code_set(codes).curing.bands(curing_class, development)


@settings(max_examples=60, deadline=None)
@given(strengths(), st.sampled_from(CODES))
def test_development_by_strength_is_alike(strength: Strength, codes: CodeId) -> None:
    curve, _ = _both(strength, codes)
    assume(all(abs(curve.ratio - edge) > 1e-4 for edge in (0.5, 0.3, 0.15)))
    product = Product(id="p", name="P", strength=strength)
    named = Product(id="p", name="P", development=development_of(product, code_set(codes)))
    assert curing_bands(product, 2, codes) == curing_bands(named, 2, codes)


@settings(max_examples=80, deadline=None)
@given(strengths(), st.sampled_from(CODES), st.floats(0.2, 0.9), courses(SLOTS), st.integers(0, 200))
def test_a_strength_gate_is_never_open_for_the_planner_before_it_is_for_the_audit(
    strength: Strength, codes: CodeId, share: float, course: np.ndarray, anchor: int
) -> None:
    curve, _ = _both(strength, codes)
    product, mpa = Product(id="p", name="P", strength=strength), curve.fcm28_mpa * share
    gap = strength_gap(product, mpa, code_set(codes))
    assert gap is not None
    opens = gap_arrays(gap, course).opens[anchor]
    exact = StrengthGate("p", mpa, strength, codes).clock(_minutes(course)).full_at(anchor * 15)
    if opens <= SLOTS:
        assert opens * 15 >= exact - 1.0
    if opens > 1 and course.min() >= 5.0:
        assert exact >= (opens - 1) * 15 - 2 - 0.012 * (opens - anchor) * 15


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(CODES), st.sampled_from([1, 2, 3, 4]), courses(SLOTS), st.integers(0, 100))
def test_a_curing_period_is_never_over_for_the_planner_before_it_is_for_the_audit(
    codes: CodeId, curing_class: Any, course: np.ndarray, anchor: int
) -> None:
    product = Product(id="p", name="P", development="rapid")
    gap = curing_gap(product, curing_class, code_set(codes))
    assert gap is not None
    opens = gap_arrays(gap, course).opens[anchor]
    gate = CuringGate("p", curing_class, curing_bands(product, curing_class, codes))
    exact = gate.clock(_minutes(course)).full_at(anchor * 15)
    if opens <= SLOTS:
        assert opens * 15 >= exact - 1.0


def _minutes(course: np.ndarray) -> np.ndarray:
    return np.interp(np.arange(SLOTS * 15 + 1) / 15, np.arange(SLOTS + 1), course)


def test_words_for_how_far_a_gate_has_come() -> None:
    gate = StrengthGate("p", 30.0, Strength(fcm28_mpa=50.0, s=0.25), "en")
    needed_h = gate.hardening.age_h(30.0)
    assert gate.name == "30 MPa"
    assert gate.reached(0.0) == "0.0 of 30 MPa reached"
    run = 40.0 / needed_h
    strength = 50.0 * math.exp(0.25 * (1 - math.sqrt(672 / 40)))
    assert gate.reached(run) == f"{math.floor(strength * 10) / 10:.1f} of 30 MPa reached"
    assert gate.reached(1 - 1e-9) == "29.9 of 30 MPa reached", "never rounded up to what is asked"


def test_words_for_a_strength_by_formula_too_young_to_be_known() -> None:
    gate = StrengthGate("p", 10.0, Strength(fcm28_mpa=80.0, s=0.1), "en")
    assert gate.reached(0.5) == "an equivalent age of 12.0 h, under the 24.0 h from which its strength is known"


def test_words_for_a_curing_period() -> None:
    gate = CuringGate("p", 2, ((10.0, 48.0), (5.0, 72.0)))
    assert (gate.name, gate.reached(0.619)) == ("curing class 2", "61 % of the minimum curing period run")
    assert gate.reached(-1.0) == "0 % of the minimum curing period run"
