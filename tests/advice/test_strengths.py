"""Advice on what gates and curing periods rest on."""

from __future__ import annotations

from typing import Any

import pytest

from planner.advice.strengths import strength_notes
from tests.network.test_gates import gated


def codes(gap: dict[str, Any], **more: Any) -> list[str]:
    return [finding.code for finding in strength_notes(gated(gap, **more))]


def test_nothing_is_said_of_a_plain_gap() -> None:
    assert codes({"curve": "load"}) == []


def test_a_gate_within_the_formula_is_not_told() -> None:
    assert codes({"strength_mpa": 35.0}) == []


@pytest.mark.parametrize("mpa", [15.0, 52.0])
def test_a_gate_before_a_day_or_after_28_days_is_extrapolated(mpa: float) -> None:
    """50 MPa at s = 0.2 has 21 MPa after a day and 50 after 28."""
    assert codes({"strength_mpa": mpa}) == ["strength-extrapolated"]


def test_a_gate_that_falls_back_on_its_curve_is_told() -> None:
    [finding] = strength_notes(gated({"curve": "load", "strength_mpa": 25.0}, product={}))
    assert (finding.code, finding.place, finding.weight) == ("strength-unstated", "grout", "advice")


def test_two_results_and_scattered_results_are_told() -> None:
    two = {"strength": {"tests": [[24, 20, 20], [672, 20, 50]]}}
    scattered = {"strength": {"tests": [[24, 20, 12], [30, 20, 30], [168, 20, 24], [672, 20, 52]]}}
    good = {"strength": {"tests": [[24, 20, 20], [72, 20, 32], [168, 20, 41], [672, 20, 50]]}}
    assert codes({"strength_mpa": 30.0}, product=two) == ["strength-fit"]
    assert codes({"strength_mpa": 30.0}, product=scattered) == ["strength-fit"]
    assert codes({"strength_mpa": 30.0}, product=good) == []


@pytest.mark.parametrize(("code_set", "told"), [("en", True), ("din", False), ("aci", True)])
def test_tables_from_memory_are_said_to_be(code_set: str, told: bool) -> None:
    assert (codes({"curing_class": 2}, code_set=code_set) == ["curing-table"]) is told


def test_what_an_element_leaves_out_is_not_told() -> None:
    job = gated({"strength_mpa": 15.0})
    [element] = job.elements
    left_out = job.model_copy(update={"elements": (element.model_copy(update={"omit": ("load",)}),)})
    assert list(strength_notes(left_out)) == []
