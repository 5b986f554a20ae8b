"""`liftgap risk` on files."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest

from tests.cli.files import planned, run
from tests.jobs import FIRST_DAY, road_fields, steady_days
from tests.risk.ensemble_answer import answer


def test_the_tables_name_gaps_reopenings_and_finish(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = {**road_fields(), "forecast": {"days": steady_days(5, 20.0, 24.0)}}
    job, plan = planned(tmp_path, capsys, fields)
    code, lines, said = run(capsys, "risk", job, plan, "--members", 20)
    assert code == 0, said
    assert lines[0].startswith("20 members generated about one forecast")
    assert any(line.startswith("C1") and "open joint" in line and "%" in line for line in lines)
    assert any(line.startswith("Gang that waits until ready: finish P50 Tue 4 Jun 2024 00:45, P80") for line in lines)
    assert lines[-1].startswith("Cautions:")


def test_json_holds_shares_with_their_errors_and_site_times(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, plan = planned(tmp_path, capsys)
    code, lines, _ = run(capsys, "risk", job, plan, "--members", 25, "--seed", 4, "--json")
    data = json.loads("\n".join(lines))
    assert code == 0
    assert (data["liftgap_risk"], data["members"], data["seed"]) == (1, 25, 4)
    assert [one["gap"] for one in data["gaps"]] == ["E1/prime > E1/coat", "E1/coat > E1/backfill"]
    for one in data["gaps"]:
        share = one["planned"]["share"]
        assert one["planned"]["standard_error"] == pytest.approx((share * (1 - share) / 25) ** 0.5, abs=1e-6)
        assert one["opens"]["share"] >= share
    assert data["planned"]["finish"].endswith("+01:00")
    assert data["waiting"]["p50"] >= data["planned"]["finish"]
    assert run(capsys, "risk", job, plan, "--members", 25, "--seed", 4, "--json")[1] == lines


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--members", "0"], "must be a whole number from 1 to"),
        (["--members", "many"], "must be a whole number from 1 to"),
        (["--seed", "-1"], "must be a whole number of 0 or more, not -1"),
        (["--seed", "x"], "must be a whole number of 0 or more, not x"),
        (["--weather", "no.csv"], "no.csv"),
    ],
)
def test_bad_input_is_two(words: list[str], told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    code, lines, said = run(capsys, "risk", job, plan, *words)
    assert (code, lines) == (2, [])
    assert told in " ".join(said)


def test_members_of_a_file_are_used(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    file = tmp_path / "members.json"
    file.write_text(json.dumps(answer(FIRST_DAY - timedelta(days=1), 24 * 12, (-4.0, 0.0, 2.0, 3.0))), "utf-8")
    code, lines, said = run(capsys, "risk", job, plan, "--members-file", file)
    assert code == 0, said
    assert lines[0] == "4 members of the forecast itself."
    file.write_text(json.dumps(answer(FIRST_DAY, 24, (0.0,))), "utf-8")
    code, lines, said = run(capsys, "risk", job, plan, "--members-file", file)
    assert (code, lines) == (2, [])
    assert "one forecast" in said[0]


@pytest.mark.parametrize("late_h", [30, -24 * 300])
def test_members_of_other_days_are_refused_not_stretched(
    late_h: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, plan = planned(tmp_path, capsys)
    file = tmp_path / "members.json"
    file.write_text(json.dumps(answer(FIRST_DAY + timedelta(hours=late_h), 24 * 12, (-4.0, 0.0))), "utf-8")
    code, lines, said = run(capsys, "risk", job, plan, "--members-file", file)
    assert (code, lines) == (2, [])
    assert "hours that cover" in " ".join(said)


def test_risk_and_compare_stand_on_the_site_record(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The wall is primed six hours late: the coat, planned for 13:00, can't have gone on in its gap any more."""
    job, plan = planned(tmp_path, capsys)
    _, lines, _ = run(capsys, "risk", job, plan, "--members", 20, "--json")
    assert json.loads("\n".join(lines))["gaps"][0]["opens"]["share"] > 0.0
    key, day = "E1/prime", FIRST_DAY.isoformat()
    words = ("--operation", key, "--started", f"{day}T13:00", "--finished", f"{day}T15:00", "--noted", f"{day}T15:01")
    run(capsys, "record", job, plan, *words)
    code, lines, said = run(capsys, "risk", job, plan, "--members", 20)
    assert code == 0, said
    assert lines[0].startswith("By the site record 1 operation done or under way by Mon 3 Jun")
    _, lines, _ = run(capsys, "risk", job, plan, "--members", 20, "--json")
    assert json.loads("\n".join(lines))["gaps"][0]["opens"]["share"] == 0.0
    _, lines, _ = run(capsys, "compare", job, plan, plan)
    breaches = len(run(capsys, "audit", job, plan)[1])
    assert breaches > 0
    assert lines[1].split()[-1] == str(breaches)


def test_from_now_on_only_the_rest_is_uncertain(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    coat = next(one for one in json.loads(plan.read_text("utf-8"))["placements"] if one["operation"] == "E1/coat")
    words = ("risk", job, plan, "--members", 20, "--now", coat["finish"])
    code, lines, said = run(capsys, *words)
    assert code == 0, said
    assert lines[0].startswith("Taken to have gone as planned: 2 operations done or under way by")
    assert lines[1] == "1 gap or reopening behind by then: in no chance below."
    assert not any(line.startswith("E1/prime > E1/coat") for line in lines)
    data = json.loads("\n".join(run(capsys, *words, "--json")[1]))
    assert ([one["gap"] for one in data["gaps"]], data["settled"]) == (["E1/coat > E1/backfill"], 1)
