"""`liftgap issue`, `liftgap issues`, and replanning from an issue."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.files import planned, run
from tests.cli.test_replan import cold_first_days, limited
from tests.jobs import small_fields


def test_programmes_are_issued_listed_and_written_again(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    code, lines, _ = run(
        capsys, "issue", job, plan, "--note", "First", "--for", "gang leaders", "--time", "2024-06-02T16:30"
    )
    assert (code, lines) == (0, [f"Issue 1 of Sun 2 Jun 2024 16:30 is in {job}."])
    assert run(capsys, "issue", job, plan)[0] == 0
    code, lines, said = run(capsys, "issues", job)
    assert (code, said) == (0, [])
    assert [line.split()[0] for line in lines] == ["issue", "1", "2"]
    assert "gang leaders" in lines[1]
    out = tmp_path / "again.json"
    assert run(capsys, "issues", job, "--issue", 1, "--out", out)[0] == 0
    assert json.loads(out.read_text("utf-8")) == json.loads(plan.read_text("utf-8"))
    assert run(capsys, "audit", job, out)[0] == 0


def test_a_broken_plan_goes_out_only_with_a_reason(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys, limited())
    cold, before = cold_first_days(tmp_path), job.read_bytes()
    code, lines, said = run(capsys, "issue", job, plan, "--weather", cold)
    assert code == 1
    assert lines == run(capsys, "audit", job, plan, "--weather", cold)[1]
    assert "--despite" in said[-1]
    assert job.read_bytes() == before
    code, _, said = run(capsys, "issue", job, plan, "--weather", cold, "--despite", "tents are on their way")
    assert code == 0, said
    assert "despite breaches: tents are on their way" in run(capsys, "issues", job)[1][1]


def test_an_edited_issue_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    run(capsys, "issue", job, plan, "--note", "First")
    job.write_text(job.read_text("utf-8").replace('note = "First"', 'note = "Third"'), "utf-8")
    code, lines, said = run(capsys, "issues", job)
    assert code == 1
    assert "EDITED" in lines[1]
    assert said == ["issue 1: edited since it was issued: its checksum differs"]
    assert any("issue 1" in line for line in run(capsys, "audit", job, plan)[2])


def test_an_issue_is_replanned_like_its_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys, limited())
    run(capsys, "issue", job, plan)
    cold = cold_first_days(tmp_path)
    words = ("--weather", cold, "--now", "2024-06-03T07:30", "--seconds", 1)
    by_file, by_issue = (run(capsys, "replan", job, *base, *words) for base in ((plan,), ("--issue", 1)))
    assert by_file[0] == by_issue[0] == 0
    assert by_issue[1] == by_file[1]


@pytest.mark.parametrize(
    ("base", "words"), [((), "either"), (("--issue", 7), "no issue 7"), (("P", "--issue", 1), "either")]
)
def test_without_a_plan_to_stand_on_nothing_is_replanned(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], base: tuple[object, ...], words: str
) -> None:
    job, plan = planned(tmp_path, capsys)
    base = tuple(plan if one == "P" else one for one in base)
    code, lines, said = run(capsys, "replan", job, *base)
    assert (code, lines) == (2, [])
    assert words in said[-1]


def test_a_job_without_issues_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, _ = planned(tmp_path, capsys)
    code, lines, _ = run(capsys, "issues", job)
    assert code == 0
    assert "no issued programme yet" in lines[0]


def test_no_issue_is_dated_before_the_last_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    assert run(capsys, "issue", job, plan, "--time", "2024-06-02T16:30")[0] == 0
    before = job.read_bytes()
    code, lines, [said] = run(capsys, "issue", job, plan, "--time", "2024-06-02T16:29")
    assert (code, lines) == (2, [])
    assert "Sun 2 Jun 2024 16:29 is before the last programme: issue 1 is of Sun 2 Jun 2024 16:30" in said
    assert "give a --time that is not before it" in said
    assert job.read_bytes() == before
    assert run(capsys, "issue", job, plan, "--time", "2024-06-02T16:30")[0] == 0


def test_an_issue_from_before_its_forecast_was_made_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fields = small_fields()
    fields["forecast"]["issued"] = datetime(2024, 6, 1, 17, tzinfo=UTC)
    job, plan = planned(tmp_path, capsys, fields)
    code, _, said = run(capsys, "issue", job, plan, "--time", "2024-06-01T17:59")
    assert code == 0
    assert said == [
        "note: issued Sat 1 Jun 2024 17:59, but the forecast under it was made only at Sat 1 Jun 2024 18:00"
    ]
    assert run(capsys, "issue", job, plan, "--time", "2024-06-01T18:00")[2] == []


def test_sheet_and_audit_say_that_a_plan_was_issued_on_another_forecast(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, plan = planned(tmp_path, capsys, limited())
    cold = cold_first_days(tmp_path)
    run(capsys, "issue", job, plan, "--weather", cold, "--despite", "agreed", "--time", "2024-06-02T16:30")
    told = "Issue 1 of Sun 2 Jun 16:30 was issued on another forecast than stands here: "
    day = json.loads(plan.read_text("utf-8"))["placements"][0]["start"][:10]
    words = ("sheet", job, plan, "--date", day, "--gang", "G1")
    for command in (words, ("audit", job, plan)):
        assert any(told in line for line in run(capsys, *command)[2])
        assert not any(told in line for line in run(capsys, *command, "--weather", cold)[2])
    assert any(told in line for line in run(capsys, *words)[1])
