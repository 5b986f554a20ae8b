"""The words of the audit."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from planner.audit.weather_checks import Limit
from planner.audit.wording import (
    at_minute,
    at_slot,
    days_words,
    length_words,
    list_words,
    reading_words,
    span_words,
)
from planner.units import SiteTime

SUMMER = SiteTime(date(2024, 6, 3), 10, ZoneInfo("Europe/London"))
AUTUMN = SiteTime(date(2024, 10, 26), 3, ZoneInfo("Europe/London"))


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(15, "15 min"), (60, "1 h"), (135, "2 h 15 min"), (0.2, "1 min"), (59.5, "1 h"), (0, "0 min")],
)
def test_lengths(minutes: float, words: str) -> None:
    assert length_words(minutes) == words


def test_moments_are_told_by_the_sites_clock() -> None:
    assert at_slot(SUMMER, 28) == "Mon 3 Jun 07:00"
    assert at_minute(SUMMER, 24 * 60 + 61) == "Tue 4 Jun 01:01"
    # The second day of this job has 25 hours; its hour from 01:00 comes twice.
    assert [at_slot(AUTUMN, 96 + slot) for slot in (3, 4, 8, 12)] == [
        "Sun 27 Oct 00:45",
        "Sun 27 Oct 01:00 BST",
        "Sun 27 Oct 01:00 GMT",
        "Sun 27 Oct 02:00",
    ]


def test_spans_name_the_second_day_only_where_it_differs() -> None:
    assert span_words(SUMMER, 7 * 60, 17 * 60) == "Mon 3 Jun 07:00 to 17:00"
    assert span_words(SUMMER, 22 * 60, 29 * 60) == "Mon 3 Jun 22:00 to Tue 4 Jun 05:00"
    assert span_words(AUTUMN, 1500, 1560) == "Sun 27 Oct 01:00 BST to 01:00 GMT"


def test_lists() -> None:
    assert [list_words(list(names)) for names in ("A", "AB", "ABC")] == ["A", "A and B", "A, B and C"]


@pytest.mark.parametrize(("value", "words"), [(-0.04, "0.0"), (0.0, "0.0"), (-0.06, "-0.1"), (4.26, "4.3")])
def test_no_reading_is_minus_nothing(value: float, words: str) -> None:
    assert reading_words(value) == words


def test_a_reading_that_breaks_a_limit_is_seen_to_break_it() -> None:
    least = Limit("surface-cold", "a surface", "°C", 0.0, True)
    assert [least.shown(read) for read in (-0.5, -0.04, -0.004)] == ["-0.5", "-0.04", "-0.004"]


def test_long_lengths_are_told_in_days() -> None:
    assert [days_words(minutes) for minutes in (90, 47 * 60, 48 * 60, 8445.0, 20000.0)] == [
        "1 h 30 min",
        "47 h",
        "2 days",
        "5 days 20 h 45 min",
        "13 days 21 h 20 min",
    ]
