"""`closures`: tables, JSON and files with exit code 0, reasons and 1, unknown closures and 2."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.cli.files import job_file, run
from tests.jobs import Fields, road_fields


def fields_with_a_plan() -> Fields:
    fields = road_fields()
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 1.5], [20, 1]]}
    return fields


def test_the_study_in_words_and_in_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, out = job_file(tmp_path, fields_with_a_plan()), tmp_path / "plan.json"
    book, calendar = tmp_path / "list.xlsx", tmp_path / "list.ics"
    words = ("closures", job, "--seconds", 5, "--xlsx", book, "--ics", calendar, "--out", out)
    code, lines, said = run(capsys, *words)
    assert code == 0, said
    assert lines[1] == "wanted: C1, C2"
    assert "Earliest finish by number of closures" in lines
    assert any(line.startswith("C1  Lane closure, wanted: Mon 3 Jun 21:00 to Tue 4 Jun 05:00") for line in lines)
    assert "  second choice: C2" in lines
    assert book.read_bytes()[:2] == b"PK"
    assert calendar.read_bytes().startswith(b"BEGIN:VCALENDAR")
    assert b"If refused" not in calendar.read_bytes()
    assert not list(tmp_path.glob("*_for_ourselves*"))
    assert run(capsys, "audit", job, out)[0] == 0


def test_our_own_figures_are_written_beside_the_request_only_when_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, calendar = job_file(tmp_path, fields_with_a_plan()), tmp_path / "list.ics"
    code, _, said = run(capsys, "closures", job, "--seconds", 5, "--ics", calendar, "--ours")
    own = tmp_path / "list_for_ourselves.ics"
    assert code == 0
    assert said[-1] == f"{own}: for ourselves, not to be handed over"
    assert b"If refused" in own.read_bytes().replace(b"\r\n ", b"")  # long lines are folded
    assert b"If refused" not in calendar.read_bytes()


def test_our_own_figures_need_a_file_to_stand_beside(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, calendar = job_file(tmp_path, fields_with_a_plan()), tmp_path / "list.ics"
    code, _, said = run(capsys, "closures", job, "--ours")
    assert (code, said) == (2, ["--ours stands beside --xlsx, --pdf or --ics"])
    os.mkfifo(tmp_path / "list_for_ourselves.ics")
    code, _, said = run(capsys, "closures", job, "--ics", calendar, "--ours")
    assert code == 2
    assert "is a device or pipe, not a file" in said[-1]
    assert not calendar.exists()


def test_json_names_every_step_with_its_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, _ = run(capsys, "closures", job_file(tmp_path, fields_with_a_plan()), "--seconds", 5, "--json")
    data = json.loads("\n".join(lines))
    assert (code, data["liftgap_closures"]) == (0, 1)
    step = data["by_number"]["steps"][0]
    assert (step["closures"], step["proved"], step["plan"]["liftgap_plan"]) == (["C1"], True, 1)
    assert data["closures"][0]["if_refused"]["second"]["added"] == ["C2"]
    assert data["closures"][0]["if_refused"]["second"]["hours_lost"] == 48


def test_no_plan_is_exit_1_with_what_more_would_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = job_file(tmp_path, fields_with_a_plan())
    code, lines, said = run(capsys, "closures", job, "--seconds", 5, "--without", "C1,C2")
    assert (code, lines) == (1, [])
    assert said[-1] == "With these as well there is a plan: C1"


def test_what_is_not_there_is_exit_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = job_file(tmp_path, fields_with_a_plan())
    code, _, said = run(capsys, "closures", job, "--only", "C1,C9")
    assert code == 2
    assert "'C9'" in said[0]
    code, _, said = run(capsys, "closures", job, "--seconds", 2, "--take", 7)
    assert code == 2
    assert "7 closures" in said[-1]
    assert "[" not in said[-1]
    code, _, said = run(capsys, "closures", job, "--take", "few", "--seconds", "some")
    assert code == 2
    assert "argument --take: must be a whole number of 0 or more, not few" in said[-1]
    code, _, _ = run(capsys, "closures", job, "--xlsx", tmp_path / "no" / "list.xlsx")
    assert code == 2


@pytest.mark.parametrize("option", ["--xlsx", "--ics", "--out"])
def test_a_pipe_is_refused_before_anybody_waits(
    tmp_path: Path, option: str, capsys: pytest.CaptureFixture[str]
) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    code, lines, said = run(capsys, "closures", job_file(tmp_path, fields_with_a_plan()), option, pipe)
    assert (code, lines) == (2, [])
    assert "is a device or pipe, not a file" in said[-1]
    assert pipe.is_fifo()
