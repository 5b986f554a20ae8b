"""`audit`: 0 and a word where nothing is broken, else 1 and a line a breach."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.files import job_file, planned, run
from tests.jobs import small_fields


def test_a_plan_of_ours_is_clean(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, _ = run(capsys, "audit", *planned(tmp_path, capsys))
    assert (code, lines) == (0, ["nothing is broken: 3 visits checked"])


def test_a_moved_visit_is_a_breach_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    data = json.loads(plan.read_text("utf-8"))
    coat = data["placements"][1]
    # An hour after the primer's finish at 09:00: too soon by its 5 h at 10 °C and 2 h at 20 °C.
    coat["start"], coat["finish"] = "2024-06-03T10:00+01:00", "2024-06-03T13:00+01:00"
    plan.write_text(json.dumps(data), "utf-8")
    code, lines, _ = run(capsys, "audit", job, plan)
    assert code == 1
    assert len(lines) == 1
    assert lines[0].startswith("Mon 3 Jun 2024 10:00: ")
    assert "E1/coat" in lines[0]


def test_a_faulty_plan_file_is_exit_2_with_a_line_a_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    plan.write_text(plan.read_text("utf-8").replace("G1", "G7").replace("E1/coat", "E1/coats"), "utf-8")
    code, lines, said = run(capsys, "audit", job, plan)
    assert (code, lines) == (2, [])
    assert len(said) == 4
    assert all(line.startswith(f"{plan}: line ") for line in said)
    assert any("Did you mean 'E1/coat'?" in line for line in said)


def test_a_plan_that_is_no_json_is_told_in_plain_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    code, _, said = run(capsys, "audit", job, job)
    assert code == 2
    assert len(said) == 1
    assert said[0].startswith(f"{job}: line 1: found 'l' where a value should stand, in column 1; allowed: a plan as")
    plan.write_text(plan.read_text("utf-8")[:200], "utf-8")
    _, _, said = run(capsys, "audit", job, plan)
    assert "found a text that ends too early" in said[0]


def test_with_a_now_the_notice_of_hold_points_is_looked_at_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The coat is to start on Monday at noon; notice of 24 h at 08:00 is too late, unless it was given before."""
    fields = small_fields()
    fields["methods"][0]["operations"][1] |= {"hold_point": "Primer seen", "release": {"by": "engineer"}}
    fields["releasers"] = [{"id": "engineer", "name": "The engineer", "notice_h": 24}]
    job, plan = planned(tmp_path, capsys, fields)
    assert run(capsys, "audit", job, plan)[0] == 0
    code, lines, _ = run(capsys, "audit", job, plan, "--now", "2024-06-03T08:00")
    assert code == 1
    assert "notice-short" in lines[0]
    assert run(capsys, "audit", job, plan, "--now", "2024-06-03T08:00", "--from", plan)[0] == 0


def test_the_plan_says_by_when_notice_is_due(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = small_fields()
    fields["methods"][0]["operations"][1] |= {"hold_point": "Primer seen", "release": {"by": "engineer"}}
    fields["releasers"] = [{"id": "engineer", "name": "The engineer", "notice_h": 24}]
    _, lines, _ = run(capsys, "plan", job_file(tmp_path, fields), "--seconds", 2)
    starts = next(line for line in lines if "E1/coat" in line).split("–")[0].strip()
    # Somebody may come at any time, so the coat is released as late as when it starts: notice is due a day before.
    assert any(f"Sun 2 Jun {starts} (24 h)" in line and "The engineer" in line for line in lines)


def test_a_time_after_the_job_is_refused_not_moved_into_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, plan = planned(tmp_path, capsys)
    for command in ("audit", "risk"):
        code, lines, said = run(capsys, command, job, plan, "--now", "2027-06-08")
        assert (code, lines) == (2, [])
        assert said == ["2027-06-08T00:00 is after the job's last day, Wed 12 Jun. Give a time within its days."]
