"""`sheet`: text for the terminal, its exit codes, and paper only where somebody can draw it."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from pathlib import Path

import pytest

from planner.cli import main, sheet
from planner.cli.command_line import COMMANDS
from planner.sheets.rows import ShiftSheet
from tests.cli.files import planned, run
from tests.jobs import small_fields


def sheet_fields():
    """Return the buried wall's job whose coat is counted and mixed."""
    fields = small_fields()
    fields["products"][0]["supply"] = {
        "pack": "kit 10 kg",
        "pack_kg": 10,
        "wet_density_kg_m3": 1100,
        "coverage": {"kg_per_m2": 0.5},
        "pot_life_min": [[5, 90], [20, 60]],
    }
    fields["products"][0]["conditions"] = {"surface_c": [5, 30], "humidity_max_pct": 85}
    coat = fields["methods"][0]["operations"][1]
    coat |= {"product": "coating", "places": {"quantity": "area_m2", "coats": 1}, "hold_point": "Film measured"}
    fields["elements"][0]["quantities"] = {"area_m2": 60.0}
    return fields


@pytest.fixture
def files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> tuple[Path, Path]:
    return planned(tmp_path, capsys, sheet_fields())


def test_the_sheet_as_text(files, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, said = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G1")
    text = "\n".join(lines)
    assert (code, said) == (0, [])
    for part in ("RUNNING ORDER", "GO / NO-GO", "MIXING", "LOAD", "HOLD POINTS", "CAUTIONS", "FORECAST"):
        assert part in text, part
    assert "3 × kit 10 kg" in text
    assert "released by ____" in text
    assert "BROKEN" not in text


def test_a_day_without_work_names_those_with_work(files, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, [said] = run(capsys, "sheet", *files, "--date", "2024-06-08", "--gang", "G1")
    assert (code, lines) == (1, [])
    assert "2024-06-03" in said


def test_an_unknown_gang_is_bad_input(files, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, [said] = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G2")
    assert code == 2
    assert "no gang 'G2'; the job's gangs: G1" in said


@pytest.mark.parametrize("words", [("--date", "3 June", "--gang", "G1"), ("--gang", "G1"), ("--date", "2024-06-03")])
def test_wrong_or_missing_arguments_are_bad_input(files, words, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "sheet", *files, *words)[0] == 2


def test_a_broken_plan_is_1_and_marked(files, capsys: pytest.CaptureFixture[str]) -> None:
    job, plan = files
    data = json.loads(plan.read_text("utf-8"))
    for one in data["placements"]:
        if one["operation"] == "E1/coat":
            one["start"], one["finish"] = "2024-06-03T10:00+01:00", "2024-06-03T13:00+01:00"
    plan.write_text(json.dumps(data), "utf-8")
    code, lines, said = run(capsys, "sheet", job, plan, "--date", "2024-06-03", "--gang", "G1")
    assert code == 1
    assert any(line.startswith("BROKEN AS PLANNED") for line in lines)
    assert any("gap-early" in line for line in lines)
    assert any("liftgap audit" in line for line in said)


def test_paper_without_a_drawer_is_bad_input(files, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paper = tmp_path / "sheet.pdf"
    code, _, [said] = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G1", "--pdf", paper)
    assert (code, paper.exists()) == (2, False)
    assert "needs the desktop" in said


def test_a_pipe_is_refused_before_anything_is_drawn(
    files, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    words = ["sheet", *map(str, files), "--date", "2024-06-03", "--gang", "G1", "--pdf", str(pipe)]
    assert main(words, (sheet.command(lambda _path, _sheets: pytest.fail("drawn")),)) == 2
    assert "is a device or pipe, not a file; nothing was written" in capsys.readouterr().err
    assert pipe.is_fifo()


def test_the_drawer_is_given_the_sheets(files, capsys: pytest.CaptureFixture[str]) -> None:
    drawn: list[tuple[Path, int]] = []

    def draw(path: Path, sheets: Sequence[ShiftSheet]) -> int:
        drawn.append((path, len(sheets)))
        return 2

    words = ["sheet", *map(str, files), "--date", "2024-06-03", "--gang", "G1", "--pdf", "out.pdf"]
    assert main(words, (sheet.command(draw),)) == 0
    assert drawn == [(Path("out.pdf"), 1)]
    assert "out.pdf: 1 shift, 2 pages" in capsys.readouterr().out


def test_version_and_the_desktop_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("liftgap ")
    assert main(["--help"]) == 0
    said = capsys.readouterr().out
    assert "opens the desktop" in said
    assert all(command.name in said for command in COMMANDS)


def test_a_shift_outside_any_closure_says_that_there_is_none(files, capsys: pytest.CaptureFixture[str]) -> None:
    lines = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G1")[1]
    assert lines[lines.index("CLOSURES") + 1] == "  none: no work of this shift lies in one"
