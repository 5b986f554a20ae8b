"""Strength gates and curing classes written out as gaps, and as fitness for traffic."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from planner.cure.codes import ACI, DIN, EN
from planner.cure.gates import curing_gap, strength_gap
from planner.model import Fit, Job, MethodGap, Strength
from planner.network.work import write_out
from planner.problem.requirements import Kind, Requirement
from planner.solve.words import Wording, points
from tests.audit.feature_job import weather_of
from tests.jobs import element, make_job, method, operation, road_fields, small_fields

STRENGTH = {"fcm28_mpa": 50.0, "s": 0.2}


def gated(gap: dict[str, Any], product: dict[str, Any] | None = None, code_set: str = "en") -> Job:
    """Return the small wall's job with a grout cast in its first operation and one more demand on the second."""
    fields = small_fields()
    fields["job"] = {**fields["job"], "code_set": code_set}
    grout = {"id": "grout", "name": "Grout", "curves": {"load": {"not_before": [[5, 20], [20, 10]]}}}
    fields["products"] = [{**grout, **({"strength": STRENGTH} if product is None else product)}]
    fields["methods"] = [
        method(
            operation("cast", 2.0, product="grout", cautions=["cement"]),
            operation("load", 1.0),
            gaps=[{"after": "cast", "before": "load", "product": "grout", **gap}],
        )
    ]
    fields["elements"] = [element()]
    return make_job(fields)


def test_a_gate_is_a_gap_of_its_own_beside_the_curve() -> None:
    job = gated({"curve": "load", "strength_mpa": 25.0, "curing_class": 3})
    plain, strength, curing = write_out(job).gaps
    assert [gap.key for gap in (plain, strength, curing)] == [
        "E1/cast > E1/load",
        "E1/cast > E1/load at 25 MPa",
        "E1/cast > E1/load at curing class 3",
    ]
    assert plain.curve == job.product("grout").curves["load"]
    assert strength.curve == strength_gap(job.product("grout"), 25.0, EN)
    assert curing.curve == curing_gap(job.product("grout"), 3, EN)
    assert {gap.product for gap in (plain, strength, curing)} == {"grout"}


@pytest.mark.parametrize(("named", "codes"), [("en", EN), ("din", DIN), ("aci", ACI)])
def test_the_job_s_code_set_picks_law_and_table(named: str, codes: Any) -> None:
    job = gated({"strength_mpa": 25.0, "curing_class": 2}, code_set=named)
    strength, curing = write_out(job).gaps
    assert strength.curve == strength_gap(job.product("grout"), 25.0, codes)
    assert curing.curve == curing_gap(job.product("grout"), 2, codes)


def test_a_product_that_states_no_strength_is_held_to_its_curve_alone() -> None:
    job = gated({"curve": "load", "strength_mpa": 25.0, "curing_class": 3}, product={})
    assert [gap.key for gap in write_out(job).gaps] == ["E1/cast > E1/load"]


def test_fit_for_traffic_by_strength_beside_the_curve() -> None:
    fields = road_fields()
    fields["products"][0]["strength"] = STRENGTH
    fields["methods"][0]["exposed"][0]["fit"][0]["strength_mpa"] = 20.0
    job = make_job(fields)
    [stretch] = write_out(job).stretches
    assert [(key, curve) for key, curve, _ in stretch.fit] == [
        ("E1/header", job.product("mortar").curves["traffic"]),
        ("E1/header", strength_gap(job.product("mortar"), 20.0, EN)),
    ]


@pytest.mark.parametrize(
    "gap",
    [
        {"strength_mpa": 20.0},
        {"product": "p"},
        {"product": "p", "strength_mpa": 20.0, "not_before_h": 3.0},
        {"product": "p", "strength_mpa": -1.0},
        {"product": "p", "curing_class": 5},
        {"product": "p", "curing_class": True},
    ],
)
def test_gaps_that_mean_nothing_are_refused(gap: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        MethodGap.model_validate({"after": "a", "before": "b", **gap})


def test_fit_needs_a_curve_or_a_strength() -> None:
    with pytest.raises(ValidationError, match="curve or strength_mpa"):
        Fit.model_validate({"after": "a", "product": "p"})


@pytest.mark.parametrize(
    ("strength", "words"),
    [
        ({}, "either fcm28_mpa and s, or tests"),
        ({"fcm28_mpa": 40.0}, "go together"),
        ({"fcm28_mpa": 40.0, "s": 0.2, "tests": [[24, 20, 20], [48, 20, 30]]}, "either"),
        ({"fcm28_mpa": 40.0, "s": 3.0}, "less than or equal"),
        ({"tests": [[24, 20, 20]]}, "at least two ages"),
        ({"tests": [[24, 20, 20], [30, 20, 22]]}, "one and a half times"),
        ({"tests": [[0.1, 20, 20], [48, 20, 30]]}, "at least 0.5"),
        ({"tests": [[24, 0, 20], [48, 20, 30]]}, "above 0 and up to 60"),
        ({"fcm28_mpa": 40.0, "s": 0.2, "maturity": "fhp", "activation_kj_mol": 40.0}, "not together with maturity"),
        ({"fcm28_mpa": 40.0, "s": 0.2, "activation_kj_mol": 400.0}, "less than or equal"),
    ],
)
def test_strengths_that_mean_nothing_are_refused(strength: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        Strength.model_validate(strength)


def test_reasons_speak_of_the_gate_in_few_numbers() -> None:
    job = gated({"strength_mpa": 25.0, "curing_class": 3})
    said = Wording(job, weather_of(job, {}))
    words = said.of(Requirement(Kind.OPENS, "E1/cast > E1/load at 25 MPa"))
    assert words.startswith("“Load” (Element E1) may not go on before “Cast” has reached 25 MPa (Grout), ")
    assert words.count(" at ") == 4
    words = said.of(Requirement(Kind.OPENS, "E1/cast > E1/load at curing class 3"))
    assert "84 h at 5 °C, 60 h at 10 °C, 48 h at 15 °C, 36 h at 25 °C" in words


def test_a_data_sheet_s_own_points_are_all_said() -> None:
    assert points(((5.0, 24.0), (10.0, 16.5), (15.0, 12.25))) == "24 h at 5 °C, 16.5 h at 10 °C, 12.25 h at 15 °C"
