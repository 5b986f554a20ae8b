"""Times and readings as a foreman types them; what can't be read says what can."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.site_record.typed import TypedError, read_reading, read_time, time_words
from planner.units import SiteTime

TIME = SiteTime(date(2027, 3, 22), 10, ZoneInfo("Europe/London"))  # the clocks go forward on the 28th
DAY = 24 * 60


@pytest.mark.parametrize(
    ("text", "near", "minute"),
    [
        ("14:10", 14 * 60, 14 * 60 + 10),
        ("1410", 14 * 60, 14 * 60 + 10),
        ("7.05", 7 * 60, 7 * 60 + 5),
        ("00:15", 23 * 60 + 30, DAY + 15),
        ("23:50", DAY + 10, 23 * 60 + 50),
        ("25 Mar 14:10", 14 * 60, 3 * DAY + 14 * 60 + 10),
        ("Thu 25 Mar 14:10", 14 * 60, 3 * DAY + 14 * 60 + 10),
        ("Thu 25 Mar 2027 14:10", 0, 3 * DAY + 14 * 60 + 10),
        ("thursday, 25. march, 1410", 0, 3 * DAY + 14 * 60 + 10),
        ("25 Mar 2027, 14.10", 0, 3 * DAY + 14 * 60 + 10),
        ("", 0, None),
        ("  ", 0, None),
    ],
)
def test_times(text: str, near: int, minute: int | None) -> None:
    assert read_time(TIME, text, near) == minute


@pytest.mark.parametrize(
    "text", ["24:00", "14:60", "ten past two", "14", "99 Mar 10:00", "25 Foo 10:00", "25 Jun 10:00"]
)
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(TypedError):
        read_time(TIME, text, 0)


def test_a_day_that_is_another_weekday_or_year_is_a_slip() -> None:
    with pytest.raises(TypedError, match="25 Mar is a Thu, not a Fri"):
        read_time(TIME, "Fri 25 Mar 14:10", 0)
    with pytest.raises(TypedError, match="25 Mar 2026 is not a day of this job"):
        read_time(TIME, "25 Mar 2026 14:10", 0)


@given(st.integers(0, 9 * DAY), st.integers(0, 9 * DAY))
def test_a_time_that_is_shown_is_read_as_the_same(minute: int, near: int) -> None:
    assert read_time(TIME, time_words(TIME, minute, near), near) == minute


def test_readings() -> None:
    assert read_reading("surface_c", "7,5") == 7.5
    assert read_reading("air_c", "−2") == -2.0
    assert read_reading("wind_ms", " ") is None
    for name, text in (("surface_c", "warm"), ("humidity_pct", "120"), ("surface_c", "nan"), ("wind_ms", "-1")):
        with pytest.raises(TypedError, match="can't be a"):
            read_reading(name, text)


@pytest.mark.parametrize("text", ["28 Mar 01:30", "01:30"])
def test_a_time_that_the_clocks_jump_over_is_refused(text: str) -> None:
    near = 6 * DAY + 60
    with pytest.raises(TypedError, match="01:30 never comes on Sun 28 Mar: the clocks go forward over it, to 02:00"):
        read_time(TIME, text, near)
    assert read_time(TIME, "28 Mar 02:00", near) == 6 * DAY + 60


def test_a_time_of_another_day_is_shown_with_its_day_where_the_clocks_jump_over_it_near_by() -> None:
    assert time_words(TIME, 60, 5 * DAY + 13 * 60 + 1) == "Mon 22 Mar 01:00"
