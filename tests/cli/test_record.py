"""`record`: entries are appended to the job file with its comments kept, and what follows is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
import tomlkit

from planner.jobfile.load import load_job
from planner.jobfile.planfile import write_plan
from tests.cli.files import run
from tests.site_record.cases import wall_fields, wall_plan

COMMENT = "# typed by hand; keep me\n"
NOTED = ("--noted", "2024-06-03T23:00")
EARLY = ("--noted", "2024-06-03T08:00")


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    fields = wall_fields()
    del fields["record"]
    job, plan = tmp_path / "job.toml", tmp_path / "plan.json"
    job.write_text(COMMENT + tomlkit.dumps(fields), "utf-8")
    loaded = load_job(job).job
    write_plan(plan, wall_plan(loaded), loaded)
    return job, plan


def record(capsys, files, *words: str) -> tuple[int, list[str], list[str]]:
    return run(capsys, "record", *files, *words)


def test_a_start_and_a_finish_and_what_follows(files, capsys: pytest.CaptureFixture[str]) -> None:
    code, lines, _ = record(
        capsys, files, "--operation", "E1/prime", "--started", "06:50", "--reading", "surface_c=9.5", *EARLY
    )
    assert code == 0
    assert lines[0] == "recorded as entry 1: Prime, Element E1: started Mon 3 Jun 06:50, surface 9.5 °C"
    code, lines, _ = record(
        capsys, files, "--operation", "E1/prime", "--finished", "2024-06-03T08:53", "--noted", "2024-06-03T09:00"
    )
    assert code == 0
    assert lines[1] == "next: Coat may go on from Mon 3 Jun 13:53 until Thu 6 Jun 08:53; planned Mon 3 Jun 14:00."
    text = files[0].read_text("utf-8")
    assert text.startswith(COMMENT)
    assert text.count("[[record]]") == 2


def test_what_is_broken_by_it_is_exit_code_1_with_the_remedy(files, capsys: pytest.CaptureFixture[str]) -> None:
    record(capsys, files, "--operation", "E1/prime", "--started", "07:00", "--finished", "09:00", *NOTED)
    code, lines, _ = record(
        capsys, files, "--operation", "E1/coat", "--started", "2024-06-06T09:10", "--noted", "2024-06-06T09:15"
    )
    assert code == 1
    assert "10 min too late: the gap was missed. Abrade and prime again." in lines[1]
    assert any(line.startswith("broken: ") and "gap-late" in line for line in lines)


def test_a_reading_outside_the_limits_is_said(files, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--operation", "E1/prime", "--started", "07:00", "--reading", "surface_c=3")
    code, lines, _ = record(capsys, files, *words, *EARLY)
    assert code == 1
    assert "found a reading of 3 °C" in lines[-1]


def test_a_correction_keeps_what_it_does_not_say_and_the_list_shows_both(
    files, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("--operation", "E1/prime", "--started", "07:00", "--reading", "surface_c=9", "--note", "windy")
    record(capsys, files, *words, *EARLY)
    code, lines, _ = record(capsys, files, "--correct", "1", "--started", "06:55", "--by", "foreman", *EARLY)
    assert code == 0
    assert lines[0].endswith("started Mon 3 Jun 06:55, surface 9 °C, windy (in place of entry 1)")
    record(capsys, files, "--withdraw", "2", *EARLY)
    code, lines, _ = record(capsys, files, "--list", *EARLY)
    assert code == 0
    assert [line.split("  ")[-1].strip() for line in lines[1:4]] == [
        "taken back by entry 3",
        "taken back by entry 3",
        "takes back entry 2",
    ]
    assert "started Mon 3 Jun 07:00" in lines[1]
    assert lines[5] == "3 operations: 0 done, 0 under way, 3 not begun"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--operation", "E1/prim", "--started", "07:00"), "Did you mean 'E1/prime'?"),
        (("--operation", "E1/prime"), "started, finished, readings or a note"),
        (("--operation", "E1/prime", "--started", "2024-06-04T07:00"), "can't be recorded"),
        (("--operation", "E1/prime", "--started", "7 o'clock"), "a time is"),
        (("--operation", "E1/prime", "--started", "07:00", "--reading", "surfac=4"), "Did you mean 'surface_c'?"),
        (("--operation", "E1/prime", "--started", "07:00", "--reading", "surface_c=4 C"), "without its unit"),
        (("--operation", "E1/prime", "--started", "07:00", "--gang", "G2"), "G1"),
        (("--correct", "1", "--started", "07:00"), "no entry yet"),
        ((), "--operation KEY"),
    ],
)
def test_bad_input_is_2_and_the_file_stays(files, words, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    before = files[0].read_bytes()
    code, lines, told = record(capsys, files, *words, *NOTED)
    assert (code, lines) == (2, [])
    assert said in "\n".join(told)
    assert files[0].read_bytes() == before


def test_a_time_of_another_day_asks_for_when_it_was_noted(files, capsys: pytest.CaptureFixture[str]) -> None:
    before = files[0].read_bytes()
    code, _, told = record(capsys, files, "--operation", "E1/prime", "--started", "07:00")
    assert code == 2
    assert "which is no day of this job: write day and time, and add --noted TIME" in told[-1]
    code, _, told = record(capsys, files, "--operation", "E1/prime", "--started", "2124-06-03T07:00")
    assert code == 2
    assert "is later than now" in told[-1]
    assert "--noted 2024-06-03T18:00" in told[-1]
    assert files[0].read_bytes() == before


def test_a_fault_of_an_entry_names_its_number(files, capsys: pytest.CaptureFixture[str]) -> None:
    late = ("--started", "2024-06-04T07:00", "--noted", "2024-06-03T23:00")
    code, _, told = record(capsys, files, "--operation", "E1/prime", *late)
    assert code == 2
    assert "record[entry 1].started" in "\n".join(told)


def test_the_last_such_time_of_day_is_meant(files, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--operation", "E1/prime", "--started", "22:30", "--noted", "2024-06-04T02:00")
    assert record(capsys, files, *words)[1][0].endswith("started Mon 3 Jun 22:30")


def test_replan_leaves_what_is_recorded_and_plans_the_rest(files, capsys: pytest.CaptureFixture[str]) -> None:
    record(capsys, files, "--operation", "E1/prime", "--started", "07:20", "--finished", "10:25", *NOTED)
    code, lines, _ = run(capsys, "replan", *files, "--now", "2024-06-03T10:30", "--seconds", "2")
    assert code == 0
    assert lines[0] == "From Mon 3 Jun 2024 10:30: 1 operation done or under way and left as it stands."
    assert any(line.strip().startswith("E1/coat: Mon 3 Jun 14:00 →") for line in lines)
    assert not any("E1/prime:" in line for line in lines)


def test_a_later_now_tells_of_the_finish_and_the_starts_that_nobody_recorded(
    files, capsys: pytest.CaptureFixture[str]
) -> None:
    record(capsys, files, "--operation", "E1/prime", "--started", "07:00", "--noted", "2024-06-03T07:05")
    _, _, said = run(capsys, "audit", *files)
    assert not any("recorded" in line for line in said)  # at the newest entry nothing is amiss
    code, _, said = run(capsys, "audit", *files, "--now", "2024-06-04T08:00")
    assert code == 0  # advice breaks nothing
    assert any("E1/prime: started Mon 3 Jun 07:00, finish not recorded" in line for line in said)
    overdue = "E1/coat: overdue: planned to start Mon 3 Jun 14:00, nothing recorded by Tue 4 Jun 08:00"
    assert any(overdue in line for line in said)
    _, lines, _ = run(capsys, "replan", *files, "--now", "2024-06-04T08:00", "--seconds", "1")
    assert any("finish-not-recorded: E1/prime" in line for line in lines)
    [row] = [number for number, line in enumerate(lines) if line.startswith("1 visit should have begun by Tue 4 Jun")]
    assert lines[row + 1] == "  E1/coat: planned to start Mon 3 Jun 2024 14:00"
    assert "Nothing else breaks in the old plan." in lines
    assert any(line.startswith("the old plan") and "not done as planned" in line for line in lines)


def test_a_sheet_asks_about_earlier_work_without_a_finish(files, capsys: pytest.CaptureFixture[str]) -> None:
    record(capsys, files, "--operation", "E1/prime", "--started", "07:20", "--noted", "2024-06-03T07:25")
    _, lines, _ = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G1")
    asked = (
        "No finish is recorded of “Prime”, started Mon 3 Jun 07:20: make sure first that it is done, and record it."
    )
    assert sum(asked in line for line in lines) == 1


def test_readings_of_the_record_calibrate_only_when_asked(files, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--operation", "E1/prime", "--started", "07:20", "--reading", "surface_c=9.5")
    record(capsys, files, *words, *NOTED)
    code, _, said = run(capsys, "calibrate", files[0])
    assert (code, said) == (2, ["no readings to fit to: give READINGS.csv, or --recorded"])
    code, lines, _ = run(capsys, "calibrate", files[0], "--recorded")
    assert code == 0
    assert any(line.startswith("E1 ") and "9.5" in line for line in lines)


def test_gaps_sheet_and_audit_show_the_plan_as_it_stands(files, capsys: pytest.CaptureFixture[str]) -> None:
    record(capsys, files, "--operation", "E1/prime", "--started", "07:20", "--finished", "09:25", *NOTED)
    _, lines, said = run(capsys, "gaps", *files)
    row = next(line for line in lines if line.startswith("E1/prime > E1/coat"))
    assert "14:30" in row  # 5 h after 09:25, on the next quarter-hour
    assert said == ["this plan has 1 breach: see `liftgap audit`"]
    code, lines, _ = run(capsys, "audit", *files)
    assert (code, len(lines)) == (1, 1)
    assert "found start at Mon 3 Jun 14:00, 25 min too early" in lines[0]
    _, lines, _ = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G1")
    [row] = [number for number, line in enumerate(lines) if line.startswith("  07:00-09:00  Prime")]
    assert "Recorded: started 07:20, finished 09:25." in lines[row + 2]


def test_a_sheet_does_not_call_broken_how_long_the_work_took(files, capsys: pytest.CaptureFixture[str]) -> None:
    record(capsys, files, "--operation", "E1/prime", "--started", "07:00", "--finished", "08:10", *NOTED)
    _, lines, _ = run(capsys, "sheet", *files, "--date", "2024-06-03", "--gang", "G1")
    assert any("Recorded: started 07:00, finished 08:10." in line for line in lines)
    assert not any("visits-wrong-length" in line for line in lines)


@pytest.fixture
def spring(tmp_path: Path) -> tuple[Path, Path]:
    """Return the wall in the week in which the clocks go forward, on Sunday 31 March at 01:00."""
    fields = wall_fields()
    del fields["record"]
    fields["job"]["first_day"] = date(2024, 3, 29)
    for number, day in enumerate(fields["forecast"]["days"]):
        day["date"] = date(2024, 3, 29) + timedelta(days=number)
    job, plan = tmp_path / "job.toml", tmp_path / "plan.json"
    job.write_text(tomlkit.dumps(fields), "utf-8")
    loaded = load_job(job).job
    write_plan(plan, wall_plan(loaded), loaded)
    return job, plan


@pytest.mark.parametrize(
    "words",
    [
        ("record", "--operation", "E1/prime", "--started", "2024-03-31T01:30", "--noted", "2024-03-31T05:00"),
        ("record", "--operation", "E1/prime", "--started", "01:30", "--noted", "2024-03-31T05:00"),
        ("record", "--operation", "E1/prime", "--started", "00:30", "--noted", "2024-03-31T01:30"),
        ("audit", "--now", "2024-03-31T01:30"),
        ("replan", "--now", "2024-03-31T01:30"),
    ],
)
def test_a_typed_time_that_never_comes_is_refused(spring, words, capsys: pytest.CaptureFixture[str]) -> None:
    before = spring[0].read_text("utf-8")
    code, lines, said = run(capsys, words[0], *spring, *words[1:])
    assert (code, lines) == (2, [])
    assert "2024-03-31T01:30 is no time in Europe/London: the clocks go forward over it, to 02:00." in said[-1]
    assert spring[0].read_text("utf-8") == before


def test_work_that_nobody_recorded_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    fields = wall_fields()
    fields["elements"] += [{**fields["elements"][0], "id": f"E{number}", "name": "Wall"} for number in range(2, 9)]
    del fields["record"]
    job, file = tmp_path / "job.toml", tmp_path / "plan.json"
    job.write_text(tomlkit.dumps(fields), "utf-8")
    loaded = load_job(job).job
    plan = wall_plan(loaded)
    placed = [
        replace(one, operation=one.operation.replace("E1", f"E{n}")) for n in range(1, 9) for one in plan.placements
    ]
    write_plan(file, replace(plan, placements=tuple(placed)), loaded)
    words = ("--operation", "E1/prime", "--started", "07:00", "--finished", "09:00", *NOTED)
    run(capsys, "record", job, file, *words)
    _, lines, _ = run(capsys, "record", job, file, "--list", *NOTED)
    [line] = [line for line in lines if "not-recorded" in line]
    assert line.startswith(
        "advice: not-recorded: 15 visits should have begun by now and nothing is recorded of them:"
    )
    assert "and 10 more. Record them" in line
