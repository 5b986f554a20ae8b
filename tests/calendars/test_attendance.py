"""Attendance on the slot axis, notice counted on it, and both in words; notice also counted slot by slot."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.calendars.attendance import after_notice, attendance_words, attended
from planner.intervals import Interval, union
from planner.model import Job, Releaser
from tests.calendars.jobs import job_with, shift

TUESDAY = date(2027, 6, 8)
WEEKDAYS = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"


def releaser(*hours: tuple[str, str, str], **more: object) -> Releaser:
    attends = [{"rule": rule, "start": start, "finish": finish} for rule, start, finish in hours]
    return Releaser.model_validate({"id": "engineer", "name": "The engineer", "attends": attends, **more})


def job_of(days: int, off: tuple[date, ...] = ()) -> Job:
    return job_with(shift(), first=TUESDAY, days=days, off=off)[1]


def in_job(windows: tuple[Interval, ...] | None, job: Job) -> list[tuple[str, str]]:
    """Return the windows from slot 0 on as wall times."""
    assert windows is not None
    local = [(job.time.local(one.start), job.time.local(one.finish)) for one in windows if one.finish > 0]
    return [(f"{start:%a %H:%M}", f"{finish:%a %H:%M}") for start, finish in local]


def test_weekdays_without_the_days_off_of_the_job_and_of_the_person() -> None:
    job = job_of(4, off=(date(2027, 6, 9),))
    windows = attended(releaser((WEEKDAYS, "09:00", "16:00"), days_off=[date(2027, 6, 10)]), job)
    assert in_job(windows, job) == [("Tue 09:00", "Tue 16:00"), ("Fri 09:00", "Fri 16:00")]


def test_over_midnight_it_reaches_into_the_job_and_ends_with_it() -> None:
    job = job_of(1)
    windows = attended(releaser(("FREQ=DAILY", "20:00", "04:00")), job)
    assert in_job(windows, job) == [("Mon 20:00", "Tue 04:00"), ("Tue 20:00", "Wed 00:00")]


def test_odd_minutes_are_rounded_inwards() -> None:
    job = job_of(1)
    assert in_job(attended(releaser(("FREQ=DAILY", "09:10", "09:50")), job), job) == [("Tue 09:15", "Tue 09:45")]
    assert in_job(attended(releaser(("FREQ=DAILY", "09:10", "09:25")), job), job) == []


def test_twelve_weeks_are_known_before_the_first_day() -> None:
    job = job_of(1)
    windows = attended(releaser((WEEKDAYS, "09:00", "16:00")), job)
    assert windows is not None
    assert job.time.local(windows[0].start) == datetime(2027, 3, 16, 9, tzinfo=job.time.zone)
    assert len(windows) == 12 * 5 + 1


def test_who_has_no_hours_attends_at_any_time_and_a_bad_rule_names_them() -> None:
    assert attended(releaser(), job_of(1)) is None
    with pytest.raises(ValueError, match="releaser engineer"):
        attended(releaser(("FREQ=OFTEN", "09:00", "16:00")), job_of(1))


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        ((), "at any time"),
        ((("FREQ=DAILY", "07:00", "19:00"),), "every day 07:00 to 19:00"),
        ((("freq=weekly;byday=MO,FR", "09:00", "16:30"),), "Mon, Fri 09:00 to 16:30"),
        (
            (("FREQ=WEEKLY;BYDAY=SA", "08:00", "12:00"), ("RRULE:FREQ=DAILY", "22:00", "02:00")),
            "Sat 08:00 to 12:00; every day 22:00 to 02:00",
        ),
        ((("FREQ=DAILY;INTERVAL=2", "09:00", "10:00"),), "by the rule FREQ=DAILY;INTERVAL=2 09:00 to 10:00"),
        ((("FREQ=MONTHLY;BYDAY=1MO", "09:00", "10:00"),), "by the rule FREQ=MONTHLY;BYDAY=1MO 09:00 to 10:00"),
    ],
)
def test_attendance_in_words(hours: tuple[tuple[str, str, str], ...], words: str) -> None:
    assert attendance_words(releaser(*hours)) == words


def slot_by_slot(windows: tuple[Interval, ...] | None, told: int, notice: int) -> int | None:
    """The same, counting the slots of notice one at a time."""
    slot = told
    while notice > 0:
        if windows is not None and all(slot >= one.finish for one in windows):
            return None
        if windows is None or any(one.start <= slot < one.finish for one in windows):
            notice -= 1
        slot += 1
    return slot


windows_lists = st.lists(
    st.tuples(st.integers(-40, 60), st.integers(1, 9)).map(lambda one: Interval(one[0], one[0] + one[1])), max_size=6
).map(union)


@settings(max_examples=400, deadline=None)
@given(windows=st.none() | windows_lists, told=st.integers(-50, 70), notice=st.integers(0, 30))
def test_notice_is_counted_like_slot_by_slot(windows, told: int, notice: int) -> None:
    assert after_notice(windows, told, notice) == slot_by_slot(windows, told, notice)
