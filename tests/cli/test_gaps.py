"""`gaps`: every gap with both ends and the spare time to them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.files import planned, run
from tests.jobs import make_job, method, operation, small_fields


def test_the_table_has_a_row_for_each_gap(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, said = run(capsys, "gaps", *planned(tmp_path, capsys))
    assert (code, len(lines)) == (0, 3)
    head, recoat, bury = lines
    assert head.split()[:4] == ["gap", "method", "product", "opens"]
    assert recoat.startswith("E1/prime > E1/coat")
    assert recoat.split("  ")[-1].strip() != "-"
    assert bury.split("  ")[-1].strip() == "-"
    assert not [line for line in said if "breach" in line]


def test_json_agrees_with_itself(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, _ = run(capsys, "gaps", *planned(tmp_path, capsys), "--json")
    data = json.loads("\n".join(lines))
    assert (code, data["liftgap_gaps"], data["job"]) == (0, 1, "Test job")
    recoat, bury = data["gaps"]
    assert (recoat["gap"], recoat["element"], recoat["method"]) == ("E1/prime > E1/coat", "E1", "M")
    assert recoat["after_at"] == "2024-06-03T09:00+01:00"
    assert recoat["after_at"] < recoat["opens"] <= recoat["planned"] <= recoat["shuts"]
    assert recoat["spare_after_opening_h"] >= 0
    assert recoat["spare_before_shutting_h"] > 0
    assert (bury["shuts"], bury["spare_before_shutting_h"]) == (None, None)


def test_a_broken_plan_says_so_beside_its_gaps(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    data = json.loads(plan.read_text("utf-8"))
    coat = data["placements"][1]
    coat["start"], coat["finish"] = "2024-06-03T10:00+01:00", "2024-06-03T13:00+01:00"
    plan.write_text(json.dumps(data), "utf-8")
    code, lines, said = run(capsys, "gaps", job, plan, "--json")
    assert code == 0
    assert json.loads("\n".join(lines))["gaps"][0]["spare_after_opening_h"] < 0
    assert any("see `liftgap audit`" in line for line in said)


def test_a_job_without_gaps_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = {**small_fields(), "methods": [method(operation("prime", 2.0))]}
    make_job(fields)
    code, lines, _ = run(capsys, "gaps", *planned(tmp_path, capsys, fields))
    assert (code, lines) == (0, ["the job has no gaps"])
