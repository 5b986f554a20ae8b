"""Shifts on the slot axis: clock-change nights, anchors, eves, days off; and the same minute by minute."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.calendars import shift_times
from planner.intervals import Interval, union
from planner.units import SiteTime
from tests.calendars.jobs import job_with, shift

CLOCK_CHANGE_NIGHTS = [
    ("Europe/London", date(2026, 3, 28), 8, "2026-03-28T21:00", "2026-03-29T05:00"),
    ("Europe/London", date(2026, 10, 24), 10, "2026-10-24T20:00", "2026-10-25T06:00"),
    ("Europe/London", date(2027, 3, 27), 8, "2027-03-27T21:00", "2027-03-28T05:00"),
    ("Europe/London", date(2027, 10, 30), 10, "2027-10-30T20:00", "2027-10-31T06:00"),
    ("America/New_York", date(2026, 3, 7), 8, "2026-03-08T02:00", "2026-03-08T10:00"),
    ("America/New_York", date(2026, 10, 31), 10, "2026-11-01T01:00", "2026-11-01T11:00"),
    ("America/New_York", date(2027, 3, 13), 8, "2027-03-14T02:00", "2027-03-14T10:00"),
    ("America/New_York", date(2027, 11, 6), 10, "2027-11-07T01:00", "2027-11-07T11:00"),
]
"""Zone, evening, length [h] of 21:00 to 06:00, and its ends in UTC: IANA time zone data, years 2026 and 2027."""


@pytest.mark.parametrize(("zone", "evening", "hours", "opens", "closes"), CLOCK_CHANGE_NIGHTS)
def test_a_night_shift_over_a_clock_change(zone: str, evening: date, hours: int, opens: str, closes: str) -> None:
    gang, job = job_with(shift(start="21:00", finish="06:00"), first=evening, days=3, zone=zone)
    night = next(one for one in shift_times(gang, job) if one.day == evening)
    assert night.interval.length == hours * 4
    assert job.time.local(night.interval.start) == datetime.fromisoformat(opens).replace(tzinfo=UTC)
    assert job.time.local(night.interval.finish) == datetime.fromisoformat(closes).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("evening", "hours"), [(date(2026, 3, 28), 7), (date(2026, 10, 24), 9), (date(2026, 5, 9), 8)]
)
def test_ten_at_night_to_six_in_the_morning(evening: date, hours: int) -> None:
    gang, job = job_with(shift(), first=evening, days=2)
    night = next(one for one in shift_times(gang, job) if one.day == evening)
    assert night.interval.length == hours * 4


def test_a_day_shift_keeps_its_wall_times_over_the_change() -> None:
    gang, job = job_with(shift(start="07:00", finish="17:00"), first=date(2026, 3, 27), days=4)
    found = shift_times(gang, job)
    assert [one.interval.length for one in found] == [40] * 4
    assert {job.time.local(one.interval.start).time() for one in found} == {time(7, 0)}


class TestEve:
    first = date(2026, 3, 23)

    @pytest.mark.parametrize("rule", ["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=SU,MO", "FREQ=MONTHLY;BYMONTHDAY=22,23"])
    def test_no_shift_starts_before_the_first_day_where_no_anchor_says_so(self, rule: str) -> None:
        gang, job = job_with(shift(rule, "20:00", "12:00"), first=self.first, days=1)
        found = shift_times(gang, job)
        assert [(one.day, one.interval) for one in found] == [(self.first, Interval(80, 96))]

    def test_the_shift_of_the_evening_before_reaches_in(self) -> None:
        anchored = shift("FREQ=WEEKLY;BYDAY=SU,MO", anchor=date(2026, 3, 1))
        gang, job = job_with(anchored, first=self.first, days=2)
        found = shift_times(gang, job)
        assert [(one.day, one.interval) for one in found] == [
            (date(2026, 3, 22), Interval(0, 24)),
            (date(2026, 3, 23), Interval(88, 120)),
        ]

    def test_every_second_night_counts_from_the_first_day(self) -> None:
        gang, job = job_with(shift("FREQ=DAILY;INTERVAL=2"), first=self.first, days=4)
        assert [one.day.day for one in shift_times(gang, job)] == [23, 25]

    def test_a_day_off_on_the_eve_removes_it(self) -> None:
        anchored = shift(anchor=date(2026, 3, 1))
        gang, job = job_with(anchored, first=self.first, days=1, off=(date(2026, 3, 22),))
        assert [one.day for one in shift_times(gang, job)] == [self.first]

    def test_no_shift_before_an_anchor(self) -> None:
        gang, job = job_with(shift(anchor=date(2026, 3, 23)), first=self.first, days=1)
        assert [one.day for one in shift_times(gang, job)] == [self.first]

    def test_the_last_shift_is_clipped_to_the_horizon(self) -> None:
        gang, job = job_with(shift(), first=self.first, days=1)
        assert shift_times(gang, job)[-1].interval == Interval(88, job.time.horizon)


class TestAnchor:
    rule = "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA"

    @pytest.mark.parametrize(
        ("anchor", "saturdays"), [(None, [28, 11]), (date(2026, 3, 16), [4]), (date(2026, 1, 3), [28, 11])]
    )
    def test_every_second_saturday(self, anchor: date | None, saturdays: list[int]) -> None:
        gang, job = job_with(shift(self.rule, anchor=anchor), first=date(2026, 3, 23), days=21)
        assert [one.day.day for one in shift_times(gang, job)] == saturdays

    def test_a_count_from_an_anchor_long_ago_may_be_used_up(self) -> None:
        used_up = shift("FREQ=DAILY;COUNT=5", anchor=date(2026, 1, 1))
        gang, job = job_with(used_up, first=date(2026, 3, 23), days=7)
        assert shift_times(gang, job) == ()


def test_days_off_of_job_and_gang_remove_by_start_day() -> None:
    first = date(2026, 3, 23)
    gang, job = job_with(shift(), first=first, days=4, off=(date(2026, 3, 24),))
    gang = gang.model_copy(update={"days_off": (date(2026, 3, 25),)})
    assert [one.day.day for one in shift_times(gang, job)] == [23, 26]


def test_until_in_the_rule_may_be_a_local_date() -> None:
    gang, job = job_with(shift("FREQ=DAILY;UNTIL=20260324"), first=date(2026, 3, 23), days=7)
    assert [one.day.day for one in shift_times(gang, job)] == [23, 24]


def test_two_shifts_are_sorted_by_time() -> None:
    day, night = shift(start="07:00", finish="15:00"), shift(start="22:00", finish="02:00")
    gang, job = job_with(night, day, first=date(2026, 3, 23), days=2)
    found = shift_times(gang, job)
    assert [one.name for one in found] == ["07:00-15:00", "22:00-02:00"] * 2
    assert [one.interval for one in found] == sorted(one.interval for one in found)


def test_odd_minutes_are_rounded_inwards() -> None:
    gang, job = job_with(shift(start="07:05", finish="16:55"), first=date(2026, 3, 23), days=1)
    assert shift_times(gang, job)[0].interval == Interval(29, 67)


def test_a_shift_inside_the_skipped_hour_does_not_exist() -> None:
    gang, job = job_with(shift(start="01:15", finish="01:45"), first=date(2026, 3, 28), days=2)
    assert [one.day.day for one in shift_times(gang, job)] == [28]


def test_a_finish_equal_to_the_start_is_a_whole_day() -> None:
    gang, job = job_with(shift(start="06:00", finish="06:00"), first=date(2026, 3, 28), days=2)
    assert [one.interval.length for one in shift_times(gang, job)] == [23 * 4, 18 * 4]


def test_a_bad_rule_names_gang_and_shift() -> None:
    gang, job = job_with(shift("FREQ=HOURLY"), first=date(2026, 3, 23), days=2)
    with pytest.raises(ValueError, match=r"gang G1, shift '22:00-06:00': FREQ=HOURLY"):
        shift_times(gang, job)


def first_minute_at(time_axis: SiteTime, wall: datetime) -> datetime:
    """Return the first UTC minute, looking forward from 16 h before, whose wall time is `wall` or later."""
    moment = wall.replace(tzinfo=UTC) - timedelta(hours=16)
    while moment.astimezone(time_axis.zone).replace(tzinfo=None) < wall:
        moment += timedelta(minutes=1)
    return moment


def minute_by_minute(start: time, finish: time, axis: SiteTime) -> set[int]:
    """Return the slots all of whose minutes lie in one shift of every day, from a walk along the wall clock."""
    slots: set[int] = set()
    for day in axis.each_day(after=1):
        ends_on = day + timedelta(days=1) if finish <= start else day
        opens = axis.minutes_of(first_minute_at(axis, datetime.combine(day, start)))
        closes = axis.minutes_of(first_minute_at(axis, datetime.combine(ends_on, finish)))
        slots |= {slot for slot in range(axis.horizon) if opens <= slot * 15 and slot * 15 + 15 <= closes}
    return slots


CHANGE_WEEKS = [
    (zone, day)
    for zone, days in {
        "Europe/London": [date(2026, 3, 27), date(2026, 10, 23), date(2027, 3, 26), date(2027, 10, 29)],
        "America/New_York": [date(2026, 3, 6), date(2026, 10, 30), date(2027, 3, 12), date(2027, 11, 5)],
    }.items()
    for day in days
]
clocks = st.times().map(lambda moment: moment.replace(second=0, microsecond=0, minute=moment.minute // 5 * 5))
small_hours = st.builds(time, st.integers(0, 3), st.sampled_from([0, 10, 15, 30, 45, 50]))


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(CHANGE_WEEKS), st.one_of(clocks, small_hours), st.one_of(clocks, small_hours))
def test_the_quick_way_equals_the_slow_way(where: tuple[str, date], start: time, finish: time) -> None:
    zone, first = where
    gang, job = job_with(shift(start=f"{start:%H:%M}", finish=f"{finish:%H:%M}"), first=first, days=4, zone=zone)
    quick = {
        slot
        for interval in union(one.interval for one in shift_times(gang, job))
        for slot in range(interval.start, interval.finish)
    }
    assert quick == minute_by_minute(start, finish, SiteTime(first, 4, ZoneInfo(zone)))
