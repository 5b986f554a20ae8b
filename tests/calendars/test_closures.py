"""Closures on the slot axis: clock-change nights, set-out and clearing, and the job's ends."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.calendars import closure_window
from planner.intervals import Interval
from planner.model import Closure
from planner.units import SiteTime
from tests.calendars.test_shifts import CLOCK_CHANGE_NIGHTS

MARCH = SiteTime(date(2026, 3, 23), 14, ZoneInfo("Europe/London"))


def closure(start: str, finish: str, **more: Any) -> Closure:
    return Closure(
        id="C1",
        lanes=("L1",),
        start=datetime.fromisoformat(start),
        finish=datetime.fromisoformat(finish),
        **more,
    )


def hours_from(axis: SiteTime, interval: Interval | None) -> tuple[str, str]:
    assert interval is not None
    return f"{axis.local(interval.start):%d %H:%M}", f"{axis.local(interval.finish):%d %H:%M}"


@pytest.mark.parametrize(("zone", "evening", "hours"), [row[:3] for row in CLOCK_CHANGE_NIGHTS])
def test_a_closure_over_a_clock_change(zone: str, evening: date, hours: int) -> None:
    axis = SiteTime(evening, 3, ZoneInfo(zone))
    night = closure(f"{evening}T21:00", f"{evening + timedelta(days=1)}T06:00")
    window = closure_window(night, axis)
    assert window.whole.length == hours * 4
    assert window.work is not None
    assert window.work.length == hours * 4 - 3 - 2


@pytest.mark.parametrize(("day", "hours"), [(28, 6), (27, 7)])
def test_ten_at_night_to_five_in_the_morning(day: int, hours: int) -> None:
    assert (
        closure_window(closure(f"2026-03-{day}T22:00", f"2026-03-{day + 1}T05:00"), MARCH).whole.length == hours * 4
    )


def test_work_lies_between_set_out_and_clearing() -> None:
    window = closure_window(closure("2026-03-24T20:00", "2026-03-25T05:30", set_out_min=60, clear_min=45), MARCH)
    assert hours_from(MARCH, window.whole) == ("24 20:00", "25 05:30")
    assert hours_from(MARCH, window.work) == ("24 21:00", "25 04:45")


def test_odd_minutes_are_rounded_inwards() -> None:
    window = closure_window(closure("2026-03-24T20:05", "2026-03-25T05:25", set_out_min=50, clear_min=20), MARCH)
    assert hours_from(MARCH, window.whole) == ("24 20:15", "25 05:15")
    assert hours_from(MARCH, window.work) == ("24 21:00", "25 05:00")


@pytest.mark.parametrize(
    ("start", "finish", "cones"),
    [
        ("2026-03-24T20:00", "2026-03-24T21:00", {"set_out_min": 30, "clear_min": 30}),
        ("2026-03-24T20:00", "2026-03-24T20:30", {"set_out_min": 60, "clear_min": 60}),
        ("2026-03-24T20:05", "2026-03-24T20:10", {"set_out_min": 0, "clear_min": 0}),
        ("2026-03-29T01:10", "2026-03-29T01:50", {"set_out_min": 0, "clear_min": 0}),
        ("2026-05-24T20:00", "2026-05-25T05:00", {}),
        ("2026-02-24T20:00", "2026-02-25T05:00", {}),
    ],
)
def test_nothing_is_left_or_it_lies_outside(start: str, finish: str, cones: dict[str, int]) -> None:
    window = closure_window(closure(start, finish, **cones), MARCH)
    assert window.work is None
    assert window.whole.length >= 1


def test_work_is_clipped_to_the_job_and_the_whole_is_not() -> None:
    begins = closure_window(closure("2026-03-22T21:00", "2026-03-23T05:00"), MARCH)
    assert (begins.whole.start, begins.work) == (-12, Interval(0, 18))
    ends = closure_window(closure("2026-04-05T21:00", "2026-04-06T05:00"), MARCH)
    assert ends.whole.finish == MARCH.horizon + 20
    assert ends.work == Interval(MARCH.horizon - 9, MARCH.horizon)


moments = st.datetimes(datetime(2026, 3, 22), datetime(2026, 4, 6))  # noqa: DTZ001
minutes = st.integers(0, 240)


@settings(max_examples=200, deadline=None)
@given(moments, st.integers(1, 3000), minutes, minutes)
def test_work_keeps_clear_of_the_cones(start: datetime, length_min: int, set_out: int, clear: int) -> None:
    one = closure(
        start.isoformat(),
        (start + timedelta(minutes=length_min)).isoformat(),
        set_out_min=set_out,
        clear_min=clear,
    )
    work = closure_window(one, MARCH).work
    if work is None:
        return
    assert MARCH.local(work.start) >= MARCH.wall(one.start) + timedelta(minutes=set_out)
    assert MARCH.local(work.finish) <= MARCH.wall(one.finish) - timedelta(minutes=clear)
    assert Interval(0, MARCH.horizon).holds(work)
