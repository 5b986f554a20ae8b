"""Issued programmes in the job file: frozen exactly, found when edited, kept when the job changes or moves."""

from __future__ import annotations

import math
import shutil
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import JobFileError
from planner.jobfile.issue_hours import column_text, column_values
from planner.jobfile.issues import issue_changes, issue_plan, issue_series, issued_plans
from planner.jobfile.load import LoadedJob, load_job
from planner.jobfile.read import read_job_text
from planner.jobfile.write import changed_text
from planner.model import Plan
from planner.solve.run import solve_job
from planner.weather.series import COLUMNS
from tests.solve.conftest import SAMPLES

WHEN = datetime(2027, 3, 21, 16, 30, tzinfo=UTC)
HOSTILE = "'''\n[job]\nname = \"x\" <img src=x> =cmd() \u202e \\ \x07 é" + "n" * 3000


@pytest.fixture(scope="module")
def loaded() -> LoadedJob:
    return load_job(SAMPLES / "three_coats.toml")


@pytest.fixture(scope="module")
def plan(loaded: LoadedJob) -> Plan:
    found = solve_job(loaded.job, loaded.weather, seconds=20, trials=10).plan
    assert found is not None
    return found


def issued_text(loaded: LoadedJob, plan: Plan, **words: str) -> str:
    issue = issue_plan(loaded.job, loaded.series, plan, WHEN, **words)
    return changed_text(loaded.text, issue_changes(loaded.job, issue))


@given(st.lists(st.one_of(st.just(math.nan), st.floats(-60, 60), st.sampled_from([0.0, 4.1, 100.0])), max_size=80))
def test_hours_come_back_exactly(values: list[float]) -> None:
    array = np.array(values, dtype=np.float64)
    np.testing.assert_array_equal(column_values(column_text(array)), array)


@pytest.mark.parametrize("word", ["4.1.2", "warm", "inf", "1e999", "4*0", "4*", "*3", "nan", "1*99999"])
def test_what_is_no_hour_is_refused(word: str) -> None:
    with pytest.raises(ValueError, match=r"no value|more than"):
        column_values(f"4.1 {word}")


def test_an_issue_is_read_back_with_its_plan_and_its_forecast(loaded: LoadedJob, plan: Plan) -> None:
    text = issued_text(loaded, plan, issued_to="gang leaders", note="First")
    job = read_job_text(text, "job.toml")
    (one,) = issued_plans(job)
    assert one.is_as_issued
    assert one.plan is not None
    assert one.plan.placements == plan.placements
    assert (one.issue.number, one.issue.issued, one.issue.issued_to) == (1, WHEN, "gang leaders")
    series = issue_series(one.issue)
    assert series.start == loaded.series.start
    for name in COLUMNS:
        np.testing.assert_array_equal(getattr(series, name), getattr(loaded.series, name))


def test_the_rest_of_the_file_stays_and_the_next_issue_has_the_next_number(loaded: LoadedJob, plan: Plan) -> None:
    text = issued_text(loaded, plan)
    assert text.startswith(loaded.text)
    again = replace(loaded, text=text, job=read_job_text(text, "job.toml"))
    twice = issued_text(again, plan)
    assert twice.startswith(text)
    assert [one.issue.number for one in issued_plans(read_job_text(twice, "job.toml"))] == [1, 2]


def test_hostile_words_come_back_as_text(loaded: LoadedJob, plan: Plan) -> None:
    job = read_job_text(issued_text(loaded, plan, note=HOSTILE, issued_to=HOSTILE), "job.toml")
    assert job.job.name == loaded.job.job.name
    assert job.issues[0].note == HOSTILE
    assert issued_plans(job)[0].is_as_issued


def test_a_hostile_job_name_is_frozen_too(loaded: LoadedJob, plan: Plan) -> None:
    text = changed_text(loaded.text, {("job", "name"): HOSTILE})
    named = replace(loaded, text=text, job=read_job_text(text, "job.toml"))
    (one,) = issued_plans(read_job_text(issued_text(named, replace(plan, job=HOSTILE)), "job.toml"))
    assert one.is_as_issued
    assert one.plan is not None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('note = "First"', 'note = "Second"'),
        ("number = 1", "number = 2"),
        ("issued = 2027-03-21T16:30:00Z", "issued = 2027-03-21T16:45:00Z"),
        ('"visit": 1', '"visit": 2'),
        ("wind_ms = '''3*24", "wind_ms = '''4*24"),
    ],
)
def test_an_edited_issue_is_said(loaded: LoadedJob, plan: Plan, tmp_path: Path, old: str, new: str) -> None:
    text = issued_text(loaded, plan, note="First")
    head, _, tail = text.partition("[[issues]]")
    assert old in tail
    edited = tail.replace(old, new, 1)
    path = tmp_path / "job.toml"
    path.write_text(f"{head}[[issues]]{edited}", encoding="utf-8")
    notes = [one for one in load_job(path).notes if one.code == "issue-changed"]
    assert [one.place for one in notes] == [f"issue {2 if 'number' in old else 1}"]


def test_an_unchanged_issue_is_not_doubted_after_the_file_moved_and_its_line_ends_changed(
    loaded: LoadedJob, plan: Plan, tmp_path: Path
) -> None:
    text = issued_text(loaded, plan, note="First\nand more")
    path = tmp_path / "elsewhere" / "moved.toml"
    path.parent.mkdir()
    shutil.copytree(SAMPLES / "weather", path.parent / "weather")
    path.write_bytes(text.replace("\n", "\r\n").encode())
    found = load_job(path)
    assert [one for one in found.notes if one.code.startswith("issue")] == []
    assert issued_plans(found.job)[0].plan is not None


def test_a_renamed_job_keeps_its_issues(loaded: LoadedJob, plan: Plan) -> None:
    text = changed_text(issued_text(loaded, plan), {("job", "name"): "Another name"})
    (one,) = issued_plans(read_job_text(text, "job.toml"))
    assert one.is_as_issued
    assert one.plan is not None
    assert one.plan.job == "Another name"


def test_a_job_that_lost_a_gang_still_opens_and_says_so(loaded: LoadedJob, plan: Plan, tmp_path: Path) -> None:
    gang = plan.placements[0].gang
    head, _, tail = issued_text(loaded, plan).partition("[[issues]]")
    path = tmp_path / "job.toml"
    shutil.copytree(SAMPLES / "weather", tmp_path / "weather")
    path.write_text(f"{head.replace(f'{gang}', 'other_gang')}[[issues]]{tail}", encoding="utf-8")
    notes = {one.code: one for one in load_job(path).notes}
    assert gang in notes["issue-without-plan"].found
    assert "issue-changed" not in notes


@pytest.mark.parametrize(
    ("old", "new", "code", "where"),
    [
        ('"liftgap_plan"', "liftgap_plan", "issue-plan", "issues[0].plan"),
        ("rain_mm = '''", "rain_mm = '''wet ", "issue-hours", "issues[0].forecast.rain_mm"),
        ("wind_ms = '''", "wind_ms = '''3.0 ", "issue-hours", "issues[0].forecast.wind_ms"),
        ('sha256 = "', 'sha256 = "x', "bad-text", "issues[0].sha256"),
        ("number = 1", "number = 0", "out-of-range", "issues[0].number"),
        ("Z\naim", "\naim", "bad-value", "issues[0].issued"),
        ('aim = "finish"', 'aim = "finnish"', "not-one-of", "issues[0].aim"),
        ("[issues.forecast]", 'colour = "red"\n[issues.forecast]', "unknown-key", "issues[0].colour"),
    ],
)
def test_an_issue_that_cannot_be_read_is_a_fault_with_its_line(
    loaded: LoadedJob, plan: Plan, old: str, new: str, code: str, where: str
) -> None:
    head, _, tail = issued_text(loaded, plan).partition("[[issues]]")
    assert old in tail
    text = f"{head}[[issues]]{tail.replace(old, new, 1)}"
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    assert [(one.code, one.path) for one in caught.value.faults] == [(code, where)]
    line = caught.value.faults[0].line
    assert line is not None
    assert where.rpartition(".")[2] in text.splitlines()[line - 1] or code == "unknown-key"


def test_a_number_may_not_be_used_twice(loaded: LoadedJob, plan: Plan) -> None:
    text = issued_text(loaded, plan)
    twice = f"{text}\n[[issues]]{text.partition('[[issues]]')[2]}"
    with pytest.raises(JobFileError) as caught:
        read_job_text(twice, "job.toml")
    assert [(one.code, one.path) for one in caught.value.faults] == [("duplicate-issue", "issues[1].number")]
