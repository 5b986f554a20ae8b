"""`plan`: a table and exit code 0, reasons and 1, faults and 2."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.cli import plan as plan_command
from planner.findings import Finding
from tests.cli.files import job_file, planned, run
from tests.jobs import element, gang, road_fields, small_fields


def test_the_small_wall_is_planned_and_said_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, said = run(capsys, "plan", job_file(tmp_path), "--seconds", 3)
    assert code == 0
    assert lines[0] == "Test job: plan for earliest finish"
    assert "Mon 3 Jun 2024, Day 07:00–17:00, gang G1 (Gang G1)" in lines
    assert "  07:00–09:00  E1/prime  Prime  Element E1" in lines
    figures = dict(line.split(": ", 1) for line in lines[lines.index("", 2) :] if ": " in line)
    # By hand: the coat follows the primer the same day, the backfill waits a night past the working day of the 4th.
    assert figures["Finish"] == "Wed 5 Jun 2024 11:00, site time (Europe/London)"
    assert figures["Closures used"] == "0 of 0"
    assert figures["Cost"].startswith("300.00 GBP = prelims 300.00 (3 days)")
    assert figures["Status"] == "Finish Wed 5 Jun 11:00, proved: no plan finishes earlier"
    assert "data sheets" in figures["Cautions"]
    assert any("better plan" in line for line in said)


def test_overtime_is_said_at_the_head_of_its_shift(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 11 h from 07:00 end at 18:00; the shift ends at 17:00, and may run on to 19:00."""
    fields = small_fields()
    fields["methods"][0]["operations"][0]["hours"] = 11.0
    fields["gangs"][0]["shifts"][0] |= {"overtime_h": 2.0}
    code, lines, _ = run(capsys, "plan", job_file(tmp_path, fields), "--seconds", 3)
    assert code == 0
    assert "Mon 3 Jun 2024, Day 07:00–17:00, overtime to 18:00, gang G1 (Gang G1)" in lines


def test_the_plan_is_written_as_the_contract_says(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _, plan = planned(tmp_path, capsys)
    data = json.loads(plan.read_text("utf-8"))
    assert data["liftgap_plan"] == 1
    assert [row["operation"] for row in data["placements"]] == ["E1/prime", "E1/coat", "E1/backfill"]
    assert data["placements"][0]["start"] == "2024-06-03T07:00+01:00"


def test_the_aim_and_the_closures_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = road_fields()
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 1.5], [20, 1]]}
    code, lines, said = run(capsys, "plan", job_file(tmp_path, fields), "--seconds", 3, "--aim", "closures")
    assert code == 0, said
    assert lines[0] == "Test job: plan for fewest closures"
    assert "Closures used: 1 of 2 (C1)" in lines
    assert any(line.endswith("closure C1") for line in lines)


def test_no_plan_is_exit_1_with_the_reasons(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, said = run(capsys, "plan", job_file(tmp_path, road_fields()), "--seconds", 2)
    assert (code, lines) == (1, [])
    assert any("fit for traffic" in line for line in said)


def test_a_network_that_cannot_hold_is_exit_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    links = [{"after": "E1/prime", "before": "E2/prime"}, {"after": "E2/prime", "before": "E1/prime"}]
    fields = {**small_fields(), "elements": [element(), element("E2")], "links": links}
    code, lines, said = run(capsys, "plan", job_file(tmp_path, fields), "--seconds", 2)
    assert (code, lines) == (1, [])
    assert "No plan exists:" in said
    assert any("E2/prime" in line for line in said)


def test_every_fault_of_a_bad_job_is_a_line_and_exit_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = {**small_fields(), "gangs": [gang(size="four", skills=["coating"])]}
    path = job_file(tmp_path, fields)
    code, lines, said = run(capsys, "plan", path)
    assert (code, lines, len(said)) == (2, [], 2)
    assert all(line.startswith(f"{path}: line ") for line in said)
    assert "gangs[G1].size: found 'four'; allowed: a whole number." in said[0]


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["plane"],
        ["plan"],
        ["plan", "JOB", "--seconds", "0"],
        ["plan", "JOB", "--seconds", "nan"],
        ["plan", "JOB", "--seconds", "soon"],
        ["plan", "JOB", "--aim", "speed"],
        ["plan", "JOB", "--out", "no/such/folder/plan.json"],
        ["plan", "JOB", "--weather", "none.csv"],
        ["plan", "none.toml"],
        ["plan", "."],
    ],
)
def test_bad_arguments_are_exit_2(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    job_file(tmp_path).rename(tmp_path / "JOB")
    code, lines, said = run(capsys, *words)
    assert (code, lines) == (2, [])
    assert said


def test_help_is_no_error(capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, _ = run(capsys, "plan", "--help")
    assert code == 0
    assert any("--weather" in line for line in lines)


def test_another_forecast_changes_the_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = [f"2024-06-{3 + hour // 24:02d}T{hour % 24:02d}:00,6,70,0,2" for hour in range(240)]
    cold = tmp_path / "cold.csv"
    cold.write_text("time,air_c,humidity_pct,rain_mm,wind_ms\n" + "\n".join(rows) + "\n")
    fields = small_fields() | {"elements": [element(exposure="sheltered")]}
    code, lines, said = run(capsys, "plan", job_file(tmp_path, fields), "--seconds", 3, "--weather", cold)
    assert code == 0, said
    # By hand: sheltered from the sky it stays at 6 °C, where the coat needs about 66 h, from Monday evening or
    # Tuesday to Friday.
    assert any(line.startswith("Finish: Fri 7 Jun 2024") for line in lines), lines


def test_a_plan_that_its_audit_rejects_is_neither_shown_nor_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    breach = Finding("made-up", "E1/coat", "nothing", "something")
    monkeypatch.setattr(plan_command.Auditor, "audit", lambda *_: (breach,))
    out = tmp_path / "plan.json"
    code, lines, said = run(capsys, "plan", job_file(tmp_path), "--seconds", 2, "--out", out)
    assert (code, lines) == (1, [])
    assert any("made-up" in line for line in said)
    assert not out.exists()


def test_aims_in_order_and_what_no_plan_goes_below(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, said = run(capsys, "plan", job_file(tmp_path), "--seconds", 3, "--aim", "finish,cost")
    assert code == 0, said
    assert lines[0] == "Test job: plan for earliest finish, then least cost"
    terms = lines[lines.index("Terms, each with what no plan goes below:") + 1 :]
    assert any(line.split() == ["prelims", "300.00", "proved", "least"] for line in terms)


def test_what_is_weighed_is_summed_whatever_comes_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 300 for the preliminaries of three days, and 3 times 40 put on them."""
    worth = ("--worth", "day=40", "--aim", "finish,cost")
    code, lines, said = run(capsys, "plan", job_file(tmp_path), "--seconds", 3, *worth)
    assert code == 0, said
    assert ["weighed", "in", "all", "420.00", "proved", "least"] in [line.split() for line in lines]


def test_what_is_weighed_is_said_term_by_term(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "plan.json"
    job, worth = job_file(tmp_path), "day=40,crew_day=2.5"
    code, lines, said = run(capsys, "plan", job, "--seconds", 3, "--worth", worth, "--out", out)
    assert code == 0, said
    assert lines[0] == "Test job: plan for least cost, weighed"
    terms = [line.split() for line in lines[lines.index("Terms, each with what no plan goes below:") + 1 :]]
    named = {" ".join(words[:-3]): words[-3:] for words in terms}
    # Three days at 40 and three crew-days at 2.50, beside what the job itself says.
    assert named["days, 40.00 each"] == ["120.00", "proved", "least"]
    cost = next(float(words[3].replace(",", "")) for words in terms if words[:3] == ["cost", "in", "all"])
    crews = next(int(words[1]) for words in terms if words[0] == "crew-days")
    written = json.loads(out.read_text("utf-8"))
    assert written["worths"] == {"day": 40.0, "crew_day": 2.5}
    assert written["value"] == cost + 3 * 40 + crews * 2.5
    code, _, said = run(capsys, "audit", job, out)
    assert code == 0, said
    assert any(line.startswith(f"Status: {written['value']:,.2f} GBP, weighed, ") for line in lines)


def test_the_least_change_from_a_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    out = tmp_path / "new.json"
    code, lines, said = run(
        capsys,
        "plan",
        job,
        "--seconds",
        3,
        "--aim",
        "change",
        "--from",
        plan,
        "--out",
        out,
        "--now",
        "2024-06-03T08:00",
    )
    assert code == 0, said
    assert "Status: 0 operations changed, proved: no plan changes fewer" in lines
    assert any(line.split() == ["operations", "changed", "0", "proved", "least"] for line in lines)
    assert json.loads(out.read_text("utf-8"))["placements"] == json.loads(plan.read_text("utf-8"))["placements"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--aim", "change"), "--aim change needs --from PLAN.json"),
        (("--now", "2024-06-03T08:00"), "--now needs --from PLAN.json"),
        (("--aim", "finish,speed"), "choose from finish, closures, cost, change"),
        (("--aim", "cost,cost"), "not one aim twice"),
        (("--worth", "dya=5"), "there are day, closure, crew_day, moved, each once, not 'dya=5'"),
        (("--worth", "day=5,day=6"), "each once"),
        (("--worth", "day=much"), "write what one is worth"),
        (("--worth", "day=-5"), "day must be worth an amount from 0"),
        (("--worth", "moved=5"), "--worth moved needs --from PLAN.json"),
        (("--aim", "finish", "--worth", "day=5"), "put cost among the aims"),
    ],
)
def test_aims_that_cannot_be_meant(
    words: tuple[str, ...], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, remarks = run(capsys, "plan", job_file(tmp_path), *words)
    assert code == 2
    assert any(said in line for line in remarks)
