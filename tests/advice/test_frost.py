"""Advice on frost until 5 MPa, or 3.5 MPa in the ACI set: by equivalent age, against the surface."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from planner.cure.maturity import ASTM_C1074, EN_B10
from tests.advice.cases import FINISH, START, advised, cast, course

UNITY_C = EN_B10.reference_c
SLOW = {"strength": {"fcm28_mpa": 12.0, "s": 0.38}}
"""5 MPa of 12 at s = 0.38 by eq. 3.2 run backwards: 61.6 h, beyond the day from which it is known."""
NEEDED_H = 672 / (1 - math.log(5 / 12) / 0.38) ** 2


def test_needed_age_is_what_the_table_above_says() -> None:
    assert pytest.approx(61.56, abs=0.01) == NEEDED_H


@pytest.mark.parametrize(("after_h", "told"), [(NEEDED_H - 1, True), (NEEDED_H + 1, False)])
def test_frost_before_and_after_the_safe_strength(after_h: float, told: bool) -> None:
    job = cast(product=SLOW)
    night = {f"from_{FINISH + round(after_h * 4)}": -2.0}
    found = advised(job, {"air_c": course(job, UNITY_C, **night)}, "freezing")
    assert bool(found) is told
    if told:
        [finding] = found
        assert finding.place == "E1/cast"
        assert finding.slot == pytest.approx(FINISH + round(after_h * 4), abs=1)
        assert "until it has 5 MPa" in finding.required
        assert "when it has 4.9 MPa; -2.0 °C" in finding.found
        assert "EN 13670" in finding.remedy


def test_cold_slows_the_hardening() -> None:
    """At 5 °C eq. B.10 runs at 0.478: the safe age comes after 128 h, not 61."""
    job = cast(product=SLOW)
    for after_h, told in [(NEEDED_H + 20, True), (NEEDED_H / 0.478 + 2, False)]:
        air = course(job, 5.0, **{f"from_{FINISH + round(after_h * 4)}": -2.0})
        assert bool(advised(job, {"air_c": air}, "freezing")) is told


def test_aci_asks_for_less_strength_at_its_own_reference() -> None:
    """3.5 MPa (Powers 1962) of 12 at s = 0.38, in hours at 23 °C."""
    needed_h = 672 / (1 - math.log(3.5 / 12) / 0.38) ** 2
    job = cast(product=SLOW, code_set="aci")
    for after_h, told in [(needed_h - 1, True), (needed_h + 1, False)]:
        air = course(job, ASTM_C1074.reference_c, **{f"from_{FINISH + round(after_h * 4)}": -2.0})
        found = advised(job, {"air_c": air}, "freezing")
        assert bool(found) is told
        assert all("3.5 MPa" in one.required and "Powers" in one.remedy for one in found)


def test_a_strength_by_formula_is_not_claimed_in_the_first_day() -> None:
    """50 MPa at s = 0.2 would have 5 MPa after 5 h: it is kept from frost for a day all the same."""
    job = cast()
    air = course(job, UNITY_C, **{f"from_{FINISH + 40}": -1.0})
    [finding] = advised(job, {"air_c": air}, "freezing")
    assert "as old as 24 h at 20 °C, since its strength before that is not known" in finding.required
    assert "when it is as old as 9.8 h at 20 °C" in finding.found


@pytest.mark.parametrize(("after_h", "told"), [(71, True), (73, False)])
def test_an_unknown_strength_is_kept_from_frost_for_three_days(after_h: float, told: bool) -> None:
    job = cast(product={})
    air = course(job, 15.0, **{f"from_{FINISH + round(after_h * 4)}": -1.0})
    found = advised(job, {"air_c": air}, "freezing")
    assert bool(found) is told
    assert all("72 h after placing, as its strength is not stated" in one.required for one in found)
    assert all("rule of thumb" in one.remedy for one in found)


def test_frost_while_it_is_placed_counts() -> None:
    job = cast()
    air = course(job, -1.0, **{f"from_{START + 3}": 15.0})
    [finding] = advised(job, {"air_c": air}, "freezing")
    assert finding.slot == START


def test_frost_before_placing_does_not_count() -> None:
    job = cast()
    assert advised(job, {"air_c": course(job, -1.0, **{f"from_{START}": 15.0})}, "freezing") == []


def test_a_forecast_that_ends_first_is_said() -> None:
    """5 MPa of 7 at s = 0.38 take 189 h at unity, 500 h near 0 °C: more than the ten days of the job."""
    job = cast(product={"strength": {"fcm28_mpa": 7.0, "s": 0.38}})
    [finding] = advised(job, {"air_c": 0.4}, "freezing-unknown")
    assert "the job's forecast ends first" in finding.found


@pytest.mark.parametrize(("night_c", "told"), [(-0.04, False), (-0.06, True)])
def test_frost_is_judged_as_it_is_shown(night_c: float, told: bool) -> None:
    """A line that asks for 0 °C never finds -0.0 °C."""
    job = cast()
    found = advised(job, {"air_c": course(job, 10.0, **{f"from_{FINISH + 8}": night_c})}, "freezing")
    assert bool(found) is told
    assert all("-0.1 °C" in one.found for one in found)


@pytest.mark.parametrize("product", [None, SLOW])
def test_no_frost_is_found_in_mortar_that_is_strong_enough(product: dict[str, Any] | None) -> None:
    """The slot at which it has become safe counts no more: nothing is told "when it has 23.7 MPa"."""
    job = cast() if product is None else cast(product=product)
    needed_h = 24.0 if product is None else NEEDED_H
    for slots in range(-3, 4):
        air = course(job, UNITY_C, **{f"from_{FINISH + math.ceil(needed_h * 4) + slots}": -5.0})
        for finding in advised(job, {"air_c": air}, "freezing"):
            assert not re.search("when it has ([5-9]|[0-9]{2,})", finding.found), finding.found
