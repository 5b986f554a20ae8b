"""Advice on the command line: a handful of lines in order of time, like to like, no inner codes."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from planner.cli.wording import MOST_ADVICE, advice_lines
from planner.findings import Finding, Weight
from planner.units import SiteTime

TIME = SiteTime(date(2027, 5, 10), 10, ZoneInfo("Europe/London"))


def dry(place: str, slot: int, found: str = "it dries fast") -> Finding:
    return Finding("evaporation", place, "at most 0.5", found, slot, Weight.ADVICE, "Fog it.")


def note(found: str) -> Finding:
    return Finding("curing-table", "curing", "", found, weight=Weight.ADVICE, remedy="Compare.")


def test_general_notes_come_first_and_the_rest_by_time() -> None:
    hot = Finding("hot-weather", "a/pour", "at most 30 °C", "air of 31 °C", 40, Weight.ADVICE)
    assert advice_lines([dry("b/pour", 96), note("periods are as remembered"), hot], TIME) == (
        "advice: curing: periods are as remembered. Compare.",
        "advice: Mon 10 May 10:00, a/pour: air of 31 °C; wanted: at most 30 °C.",
        "advice: Tue 11 May 00:00, b/pour: it dries fast; wanted: at most 0.5. Fog it.",
    )


def test_the_same_trouble_is_one_line() -> None:
    assert advice_lines([dry("c/pour", 200), dry("a/pour", 40), dry("b/pour", 96, "faster")], TIME) == (
        "advice: Mon 10 May 10:00, a/pour: it dries fast; wanted: at most 0.5. Fog it. "
        "Likewise b/pour at Tue 11 May 00:00 and c/pour at Wed 12 May 02:00.",
    )


def test_no_more_than_a_handful() -> None:
    many = [Finding(f"code-{slot}", "a/pour", "", "found", slot, Weight.ADVICE) for slot in range(MOST_ADVICE + 3)]
    lines = advice_lines(many, TIME)
    assert len(lines) == MOST_ADVICE
    assert lines[-1] == "advice: and 4 more, which the desktop lists under Audit"
    assert len(advice_lines(many[:MOST_ADVICE], TIME)) == MOST_ADVICE
    assert "more" not in advice_lines(many[:MOST_ADVICE], TIME)[-1]


def test_a_breach_still_says_required_and_found() -> None:
    assert str(Finding("rain", "a/pour", "no rain", "rain")) == "rain: a/pour: required no rain; found rain."
