"""The site record in a job file: what can't have been is refused with its line; corrections keep the old entry."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import JobFileError
from planner.jobfile.read import read_job_text
from planner.jobfile.write import changed_text
from planner.model.record import minute_of, recorded_visits, replaced_by, wall_time
from planner.units import SiteTime
from tests.jobfile.texts import GOOD

RECORD = """
[[record]]  # first night
operation = "J1/cut"
started = 2024-06-03T20:47:00
readings = { surface_c = 14.5 }
noted_at = 2024-06-03T20:50:00

[[record]]
operation = "J1/cut"
finished = 2024-06-03T21:50:00
noted_at = 2024-06-03T21:55:00

[[record]]
operation = "J1/cut"
finished = 2024-06-03T21:40:00
noted_at = 2024-06-03T21:58:00
by = "foreman"
corrects = 2
"""


def job_with(text: str):
    return read_job_text(GOOD + text, "job.toml")


def test_a_record_is_read_and_the_newest_counts() -> None:
    job = job_with(RECORD)
    [visit] = recorded_visits(job.record, job.time)
    assert (visit.operation, visit.visit, visit.numbers) == ("J1/cut", 1, (1, 3))
    assert (visit.start, visit.finish) == (20 * 60 + 47, 21 * 60 + 40)
    assert visit.readings.given() == {"surface_c": 14.5}
    assert replaced_by(job.record) == {2: 3}


def entry(**more: object) -> str:
    """Return one more entry on the saw cut, noted at 22:00."""
    lines = ["[[record]]", 'operation = "J1/cut"', "noted_at = 2024-06-03T22:00:00"]
    return "\n".join([*lines, *(f"{name} = {value}" for name, value in more.items())]) + "\n"


def test_a_correction_of_a_correction_counts() -> None:
    job = job_with(RECORD + entry(finished="2024-06-03T21:35:00", corrects=3))
    assert replaced_by(job.record) == {2: 4, 3: 4}
    assert recorded_visits(job.record, job.time)[0].finish == 21 * 60 + 35


def test_an_entry_that_is_taken_back_does_not_count() -> None:
    job = job_with(RECORD + entry(corrects=2, withdrawn="true"))
    assert recorded_visits(job.record, job.time)[0].finish is None
    with pytest.raises(JobFileError, match="finished, but no start"):
        job_with(RECORD + entry(corrects=1, withdrawn="true"))


SLIPS = [
    ('operation = "J1/cut"\nstarted', 'operation = "J1/cutt"\nstarted', "unknown-operation", "J1/cutt", "J1/cut"),
    ("started = 2024-06-03T20:47", "started = 2024-06-03T20:51", "record-future", "20:51", ""),
    ("finished = 2024-06-03T21:40", "finished = 2024-06-03T20:40", "record-order", "20:40", ""),
    ("corrects = 2", "corrects = 3", "record-corrects", "corrects = 3", ""),
    ("corrects = 2", "corrects = 0", "out-of-range", "corrects = 0", ""),
    ("corrects = 2", 'note = "?"', "record-twice", "finished = 2024-06-03T21:40", "corrects = 2"),
    ("surface_c", "surfase_c", "unknown-key", "surfase_c", "surface_c"),
    ("= 14.5", "= 145", "out-of-range", "145", ""),
    ("20:47:00", "20:47:30", "bad-value", "20:47:30", ""),
    ("by =", 'gang = "G7"\nby =', "unknown-gang", "G7", ""),
    ("started = 2024-06-03", "started = 2024-05-03", "outside-job", "2024-05-03", ""),
    ("started = 2024-06-03T20:47:00\nreadings = { surface_c = 14.5 }\n", "", "bad-value", "[[record]]", ""),
    ("corrects = 2", "withdrawn = true", "bad-value", "withdrawn", ""),
]


@pytest.mark.parametrize(("old", "new", "code", "line", "hint"), SLIPS)
def test_what_cant_have_been_is_refused_with_its_line(old: str, new: str, code: str, line: str, hint: str) -> None:
    text = GOOD + RECORD
    assert old in RECORD
    damaged = text.replace(old, new, 1)
    with pytest.raises(JobFileError) as caught:
        read_job_text(damaged, "job.toml")
    fault = next(one for one in caught.value.faults if one.code == code)
    assert fault.line is not None
    assert line in damaged.splitlines()[fault.line - 1]
    assert hint in fault.hint


def test_visits_that_overlap_are_refused() -> None:
    with pytest.raises(JobFileError, match="visit 2 before visit 1 had finished"):
        job_with(RECORD + entry(visit=2, started="2024-06-03T21:30:00"))
    job_with(RECORD + entry(visit=2, started="2024-06-03T21:40:00"))


def test_an_entry_is_appended_and_all_that_stood_there_stays() -> None:
    text = GOOD + RECORD
    noted = datetime.fromisoformat("2024-06-03T23:00")
    value = {"operation": "J1/cut", "note": "cut short", "noted_at": noted, "readings": {"air_c": 9.0}}
    changed = changed_text(text, {("record", 3): value})
    assert changed.startswith(text.rstrip("\n"))
    assert "# first night" in changed
    assert read_job_text(changed, "job.toml").record[3].readings.air_c == 9.0
    assert changed_text(GOOD, {("record", 0): value}).startswith(GOOD.rstrip("\n"))


@given(st.integers(0, 5 * 24 * 60))
def test_times_come_back_to_the_minute_also_when_they_come_twice(minute: int) -> None:
    time = SiteTime(date(2027, 10, 29), 5, ZoneInfo("Europe/London"))  # the clocks go back on the 31st
    assert minute_of(time, wall_time(time, minute)) == minute


def test_only_the_hour_that_comes_twice_is_written_with_its_offset() -> None:
    time = SiteTime(date(2027, 10, 31), 1, ZoneInfo("Europe/London"))
    written = [wall_time(time, minute) for minute in (45, 90, 150, 210)]
    assert [one.tzinfo is not None for one in written] == [False, True, True, False]
    assert written[2].utcoffset() == timedelta()
    assert written[2].astimezone(UTC).hour == 1


def test_a_record_written_in_one_line_goes_on_in_it() -> None:
    noted = datetime.fromisoformat("2024-06-03T23:00")
    line = 'record = [{ operation = "J1/cut", note = "dry", noted_at = 2024-06-03T22:00:00 }]\n'
    text = GOOD.replace("[job]", f"{line}\n[job]", 1)
    value = {"operation": "J1/cut", "noted_at": noted, "readings": {"air_c": 9.0}}
    job = read_job_text(changed_text(text, {("record", "+1"): value}), "job.toml")
    assert [entry.readings.air_c for entry in job.record] == [None, 9.0]


def test_two_entries_added_at_once_keep_their_order_and_the_text_before_them_stays() -> None:
    noted = datetime.fromisoformat("2024-06-03T23:00")
    values = [{"operation": "J1/cut", "note": note, "noted_at": noted} for note in ("first", "second")]
    changed = changed_text(GOOD + RECORD, {("record", "+2"): values[1], ("record", "+1"): values[0]})
    assert changed.startswith((GOOD + RECORD).rstrip("\n") + "\n")
    assert [entry.note for entry in read_job_text(changed, "job.toml").record[3:]] == ["first", "second"]


def test_line_ends_of_another_system_stay() -> None:
    text = (GOOD + RECORD).replace("\n", "\r\n")
    noted = datetime.fromisoformat("2024-06-03T23:00")
    changed = changed_text(text, {("record", "+1"): {"operation": "J1/cut", "note": "dry", "noted_at": noted}})
    assert changed.startswith(text.rstrip())
    assert "\n" not in changed.replace("\r\n", "")
    assert read_job_text(changed, "job.toml").record[3].note == "dry"
