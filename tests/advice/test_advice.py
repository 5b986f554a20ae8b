"""All advice in one list: never a breach, in order, printed by plan and audit, whose exit codes it leaves alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.advice.advice import advice
from planner.advice.pours import pours
from planner.findings import Weight
from tests.advice.cases import advised, cast, plan
from tests.audit.feature_job import plan_of, visit, weather_of
from tests.cli.files import job_file, run
from tests.jobs import make_job, small_fields

HOT = {"air_c": 34.0, "humidity_pct": 30.0, "wind_ms": 6.0}


def test_advice_is_never_a_breach_and_comes_in_order() -> None:
    found = advised(cast(product={}), HOT)
    assert {one.code for one in found} == {"evaporation", "hot-weather"}
    assert all(one.weight is Weight.ADVICE for one in found)
    assert [one.slot for one in found] == sorted(one.slot for one in found if one.slot is not None)


def test_only_cement_is_watched() -> None:
    fields = small_fields()
    job = make_job(fields)
    assert list(pours(job, weather_of(job, HOT), plan_of(visit("E1/prime", "G1", 28, 2.0)))) == []


def test_visits_outside_the_job_break_nothing_here() -> None:
    job = cast()
    far = job.time.horizon
    for start in (-8, far - 4, far + 100):
        assert advice(job, weather_of(job, HOT), plan_of(visit("E1/cast", "G1", start, 2.0))) == ()


def test_a_plan_with_nothing_in_it_has_no_advice_on_pours() -> None:
    job = cast()
    assert list(pours(job, weather_of(job, HOT), plan_of(visit("E1/load", "G1", 28, 1.0)))) == []
    assert list(pours(job, weather_of(job, HOT), plan()))


def test_plan_and_audit_print_it_and_still_end_well(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = small_fields()
    fields["forecast"]["days"] = [
        {**day, "low_c": 25, "high_c": 35, "humidity_pct": 30, "wind_ms": 7} for day in fields["forecast"]["days"]
    ]
    fields["methods"][0]["operations"][0] |= {"product": "coating", "cautions": ["cement"]}
    path, out = job_file(tmp_path, fields), tmp_path / "plan.json"
    code, _, said = run(capsys, "plan", path, "--seconds", 3, "--out", out)
    assert code == 0
    assert any(line.startswith("advice: ") and "E1/prime: " in line and "evaporation" in line for line in said)
    code, lines, said = run(capsys, "audit", path, out)
    assert (code, lines) == (0, ["nothing is broken: 3 visits checked"])
    assert any(line.startswith("advice: ") and "E1/prime: " in line and "evaporation" in line for line in said)
