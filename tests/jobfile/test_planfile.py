"""PLAN.json: the contract's fields, a round trip over a clock change, and every fault at once."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from planner.errors import Fault, PlanFileError
from planner.jobfile.json_lines import json_line_index
from planner.jobfile.planfile import plan_from_dict, plan_text, plan_to_dict, read_plan, write_plan
from planner.model import Aim, Job, Placement, Plan, PlanStatus
from planner.units import Slot
from tests.jobs import road_job, small_job

JOB = road_job()


def placed(operation: str, start: int, finish: int, **more: Any) -> Placement:
    return Placement(operation, more.pop("visit", 1), "G1", Slot(start), Slot(finish), **more)


PLAN = Plan(
    "Test job",
    PlanStatus.FEASIBLE,
    Aim.FINISH,
    1.25,
    1.0,
    (placed("E1/saw", 88, 92, closure="C1"), placed("E1/header", 92, 100, closure="C1")),
)


def faults_of(data: Any, job: Job = JOB) -> list[tuple[str, str]]:
    with pytest.raises(PlanFileError) as caught:
        plan_from_dict(data, job)
    return [(fault.code, fault.path) for fault in caught.value.faults]


def test_the_content_is_the_contracts() -> None:
    assert plan_to_dict(PLAN, JOB) == {
        "liftgap_plan": 1,
        "job": "Test job",
        "status": "feasible",
        "aim": "finish",
        "value": 1.25,
        "bound": 1.0,
        "placements": [
            {
                "operation": "E1/saw",
                "visit": 1,
                "gang": "G1",
                "start": "2024-06-03T22:00+01:00",
                "finish": "2024-06-03T23:00+01:00",
                "closure": "C1",
                "alternative": None,
            },
            {
                "operation": "E1/header",
                "visit": 1,
                "gang": "G1",
                "start": "2024-06-03T23:00+01:00",
                "finish": "2024-06-04T01:00+01:00",
                "closure": "C1",
                "alternative": None,
            },
        ],
        "closures_used": ["C1"],
    }


def test_file_and_back(tmp_path: Path) -> None:
    write_plan(tmp_path / "plan.json", PLAN, JOB)
    assert read_plan(tmp_path / "plan.json", JOB) == PLAN
    assert json.loads((tmp_path / "plan.json").read_text("utf-8")) == plan_to_dict(PLAN, JOB)


def test_both_passes_of_the_repeated_hour_are_kept_apart() -> None:
    heading = {"name": "Test job", "first_day": date(2024, 10, 27), "days": 10}
    job = small_job(job=heading)
    plan = Plan("Test job", PlanStatus.FEASIBLE, Aim.COST, 1, 1, (placed("E1/prime", 5, 9),))
    row = plan_to_dict(plan, job)["placements"][0]
    assert (row["start"], row["finish"]) == ("2024-10-27T01:15+01:00", "2024-10-27T01:15+00:00")
    assert plan_from_dict(plan_to_dict(plan, job), job) == plan


def test_an_offset_of_another_place_means_the_same_moment() -> None:
    data = plan_to_dict(PLAN, JOB)
    data["placements"][0]["start"] = "2024-06-03T21:00Z"
    assert plan_from_dict(data, JOB) == PLAN


DAMAGES: list[tuple[str, Any, str]] = [
    ("operation", "E1/sow", "unknown-operation"),
    ("operation", None, "unknown-operation"),
    ("gang", "G9", "unknown-gang"),
    ("closure", "C9", "unknown-closure"),
    ("visit", 0, "wrong-kind"),
    ("visit", True, "wrong-kind"),
    ("visit", "1", "wrong-kind"),
    ("start", "2024-06-03T22:00", "no-offset"),
    ("start", "2024-06-03T22:07+01:00", "off-slot"),
    ("start", "2024-06-03T22:00:01+01:00", "off-slot"),
    ("start", "ten at night", "bad-time"),
    ("start", 7, "bad-time"),
    ("start", "2024-06-02T22:00+01:00", "outside-job"),
    ("start", "0001-01-01T00:00+14:00", "outside-job"),
    ("finish", "2024-06-03T22:00+01:00", "wrong-order"),
    ("alternative", 5, "wrong-kind"),
    ("closur", "C1", "unknown-key"),
]


@pytest.mark.parametrize(("key", "value", "code"), DAMAGES)
def test_one_damage_to_a_placement_is_one_fault(key: str, value: Any, code: str) -> None:
    data = plan_to_dict(PLAN, JOB)
    data["placements"][0][key] = value
    assert faults_of(data) == [(code, f"placements[0].{key}")]


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("liftgap_plan", 2, "version"),
        ("liftgap_plan", True, "version"),
        ("job", "Another job", "other-job"),
        ("status", "best", "not-one-of"),
        ("aim", ["finish"], "not-one-of"),
        ("value", "1", "wrong-kind"),
        ("bound", float("inf"), "wrong-kind"),
        ("value", float("nan"), "wrong-kind"),
        ("placements", {}, "wrong-kind"),
        ("closures_used", "C1", "wrong-kind"),
        ("closures_used", ["C1", "C2"], "closures-differ"),
        ("closures_used", [], "closures-differ"),
        ("bounds", 1, "unknown-key"),
    ],
)
def test_one_damage_to_the_head_is_one_fault(key: str, value: Any, code: str) -> None:
    assert faults_of({**plan_to_dict(PLAN, JOB), key: value}) == [(code, key)]


@pytest.mark.parametrize("data", [None, [], "plan", 5])
def test_what_is_no_object_is_one_fault(data: Any) -> None:
    assert faults_of(data) == [("wrong-kind", "the file")]


def test_missing_keys_are_named_and_a_job_without_closures_knows_none() -> None:
    data = plan_to_dict(PLAN, JOB)
    del data["placements"][0]["gang"], data["bound"]
    assert faults_of(data) == [("missing-key", "bound"), ("missing-key", "placements[0].gang")]
    job = small_job()
    row = plan_to_dict(Plan("Test job", PlanStatus.FEASIBLE, Aim.COST, 1, 1, (placed("E1/prime", 28, 36),)), job)
    row["placements"][0]["closure"] = "C1"
    row["closures_used"] = ["C1"]
    assert faults_of(row, job) == [
        ("unknown-closure", "closures_used[0]"),
        ("unknown-closure", "placements[0].closure"),
    ]


def test_the_same_visit_twice_is_a_fault() -> None:
    data = plan_to_dict(PLAN, JOB)
    data["placements"].append(data["placements"][0])
    assert faults_of(data) == [("doubled-visit", "placements")]


def file_faults(file: Path) -> tuple[Fault, ...]:
    with pytest.raises(PlanFileError) as caught:
        read_plan(file, JOB)
    return caught.value.faults


def test_all_faults_of_a_file_come_at_once_with_their_lines(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    text = plan_text(PLAN, JOB)
    for old, new in (("feasible", "fesible"), ("E1/header", "E1/heder"), ("22:00+01:00", "22:00")):
        text = text.replace(old, new)
    file.write_text(text, "utf-8")
    assert [(fault.line, fault.code, fault.hint) for fault in file_faults(file)] == [
        (4, "not-one-of", "Did you mean 'feasible'?"),
        (9, "no-offset", "Give the offset from UTC."),
        (10, "unknown-operation", "Did you mean 'E1/header'?"),
    ]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("{", 1),
        ('{\n"a": 1,\n}', 3),
        ("", 1),
        ('{"value": NaN}', None),
        ("[" * 100_000, None),
        ('{"a": 1, "a": 2}', None),
    ],
)
def test_what_is_no_json_is_a_syntax_fault(tmp_path: Path, text: str, line: int | None) -> None:
    file = tmp_path / "plan.json"
    file.write_text(text, "utf-8")
    (fault,) = file_faults(file)
    assert fault.code == "syntax"
    assert line is None or fault.line == line


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    assert file_faults(tmp_path)[0].code == "not-a-file"
    assert file_faults(tmp_path / "none.json")[0].code == "no-such-file"
    (tmp_path / "latin.json").write_bytes(b'{"job": "\xfc"}')
    assert file_faults(tmp_path / "latin.json")[0].code == "encoding"


def test_lines_of_json_counted_by_hand() -> None:
    index = json_line_index('{\n "a": [1,\n 2, {"b": "x: y",\n "c":\n []}],\n\n "d": {}, "e\\"f": [[3],\n [4]]}')
    lines = {
        ("a",): 2,
        ("a", 0): 2,
        ("a", 1): 3,
        ("a", 2, "b"): 3,
        ("a", 2, "c"): 4,
        ("d",): 7,
        ("e\\\"f", 0, 0): 7,
        ("e\\\"f", 1, 0): 8,
    }  # fmt: skip
    assert {path: index.line(path) for path in lines} == lines
