"""`liftgap replan` and `liftgap compare` on files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.files import planned, run
from tests.jobs import FIRST_DAY, Fields, small_fields


def limited() -> Fields:
    """Return the buried wall's job whose coat wants a surface of 8 °C, typed mild at 15 °C."""
    fields = small_fields()
    fields["methods"][0]["operations"][1]["conditions"] = {"surface_c": [8, 30]}
    return fields


def cold_first_days(folder: Path) -> Path:
    """Write an hourly forecast: 2 °C for the first four days, then 15 °C; dull, so that no sun warms the wall."""
    path = folder / "cold.csv"
    rows = ["time,air_c,humidity_pct,rain_mm,wind_ms,cloud_pct"]
    for hour in range(-24, 24 * 12):
        day, clock = divmod(hour, 24)
        date = FIRST_DAY.fromordinal(FIRST_DAY.toordinal() + day)
        rows.append(f"{date}T{clock:02d}:00+01:00,{2 if day < 4 else 15},70,0,3,100")
    path.write_text("\n".join(rows) + "\n", "utf-8")
    return path


def test_the_same_forecast_moves_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    out = tmp_path / "new.json"
    code, lines, said = run(capsys, "replan", job, plan, "--seconds", 2, "--out", out)
    assert code == 0, said
    assert "Nothing breaks in the old plan." in lines
    assert "Nothing moves." in lines
    old, new = (json.loads(path.read_text("utf-8"))["placements"] for path in (plan, out))
    assert new == old
    code, lines, _ = run(capsys, "compare", job, plan, out)
    assert (code, lines[-1]) == (0, "Nothing moved.")


def test_a_cold_forecast_tells_what_breaks_until_when_and_what_moved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, plan = planned(tmp_path, capsys, limited())
    cold, out = cold_first_days(tmp_path), tmp_path / "new.json"
    audited = run(capsys, "audit", job, plan, "--weather", cold)
    code, lines, said = run(
        capsys, "replan", job, plan, "--weather", cold, "--now", "2024-06-03T07:30", "--seconds", 2, "--out", out
    )
    assert code == 0, said
    assert lines[0] == "From Mon 3 Jun 2024 07:30: 1 operation done or under way and left as planned."
    assert audited[0] == 1
    assert [line.strip() for line in lines if line.startswith("    ")] == audited[1]
    assert any(line.startswith("  E1/coat: act by ") for line in lines)
    assert any("E1/coat: Mon 3 Jun" in line and "→" in line and "later)" in line for line in lines)
    assert run(capsys, "audit", job, out, "--weather", cold)[0] == 0
    code, lines, _ = run(capsys, "compare", job, plan, out, "--weather", cold)
    assert code == 0
    assert lines[1].split()[-1] == str(len(audited[1]))
    assert lines[2].split()[-1] == "0"
    assert any("E1/coat: Mon 3 Jun" in line for line in lines)


def test_no_plan_is_said_with_reasons(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys, limited())
    cold = cold_first_days(tmp_path)
    cold.write_text(cold.read_text("utf-8").replace(",15,70", ",2,70"), "utf-8")
    code, lines, said = run(
        capsys, "replan", job, plan, "--weather", cold, "--seconds", 1, "--now", "2024-06-03T00:00"
    )
    assert code == 1
    assert any("act by" in line for line in lines)
    assert any("“Coat”" in line for line in said)


@pytest.mark.parametrize(
    "words",
    [["--now", "soon"], ["--seconds", "0"], ["--out", "/nowhere/at/all.json"], ["--weather", "none.csv"]],
)
def test_bad_input_is_two(words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    code, lines, said = run(capsys, "replan", job, plan, *words)
    assert code == 2
    assert not lines
    assert said


def test_a_plan_of_another_job_is_two(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = planned(tmp_path, capsys)
    plan.write_text(plan.read_text("utf-8").replace("E1/coat", "E9/coat"), "utf-8")
    assert run(capsys, "replan", job, plan)[0] == 2
    assert run(capsys, "compare", job, plan, plan)[0] == 2


def test_before_the_first_midnight_nothing_is_done(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The job's days are long past, so without --now all of it may still move."""
    job, plan = planned(tmp_path, capsys)
    _, lines, _ = run(capsys, "replan", job, plan, "--seconds", 1)
    assert lines[0] == "From Mon 3 Jun 2024 00:00: 0 operations done or under way and left as planned."
