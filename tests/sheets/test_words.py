"""Words on a sheet: hostile names made harmless, times that can't be taken for another day's."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from planner.intervals import Interval
from planner.sheets.words import Clock, amount, clean, reach
from planner.units import SiteTime


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("<img src=x>", "<img src=x>"),
        ("two\nlines\tand\x00more", "two lines and more"),
        ("\u202eevil\u202c \u2066name\u2069", "evil name"),
        ("a\u200bb\ufeff", "ab"),
        ("\x1b[31mred", "[31mred"),
        ("\u2028next\u00a0one", "next one"),
        ("Pier \u05e9\u05dc\u05d5\u05dd", "\u2068Pier \u05e9\u05dc\u05d5\u05dd\u2069"),
        ("Überbau, 3 m²", "Überbau, 3 m²"),
        ("", ""),
    ],
)
def test_one_plain_line(text: str, shown: str) -> None:
    assert clean(text) == shown


@pytest.mark.parametrize("text", ["x" * 10_000, "word " * 2_000, "\u202e" * 9_999 + "x", " " * 10_000 + "x"])
def test_long_names_are_cut_and_say_so(text: str) -> None:
    shown = clean(text, 120)
    assert len(shown) <= 120
    assert shown.endswith("…")


def test_a_name_that_fits_is_whole() -> None:
    assert clean("x" * 120) == "x" * 120


@pytest.mark.parametrize(
    ("value", "words"),
    [(0.35, "0.35"), (11.25, "11.25"), (7.5, "7.5"), (30.0, "30"), (1234.4, "1,234")],
)
def test_amounts(value: float, words: str) -> None:
    assert amount(value) == words


def test_a_range_that_reads_alike_is_one_number() -> None:
    assert (reach(6.21, 9.1, "°C"), reach(6.21, 6.19, "°C")) == ("6.2 to 9.1 °C", "6.2 °C")


def test_the_day_is_told_outside_the_shift() -> None:
    time = SiteTime(date(2027, 3, 27), 3, ZoneInfo("Europe/London"))
    clock = Clock(time, Interval(80, 116))  # Sat 20:00 to Sun 06:00, nine hours long
    assert (clock.slot(80), clock.slot(96), clock.slot(116)) == ("20:00", "00:00", "06:00")
    assert clock.slot(79) == "Sat 27 Mar 19:45"
    assert clock.span(96, 120) == "00:00 to Sun 28 Mar 07:00 (6\u00a0h)"  # the clocks go forward meanwhile


def test_the_repeated_hour_is_told_apart() -> None:
    time = SiteTime(date(2027, 10, 30), 3, ZoneInfo("Europe/London"))
    clock = Clock(time, Interval(80, 124))
    assert (clock.slot(101), clock.slot(105)) == ("01:15 BST", "01:15 GMT")
