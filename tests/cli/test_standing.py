"""How good a plan is, in words that a site uses: clock times, counts, and what no plan beats."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from planner.cli.standing import standing_words
from planner.cli.wording import clock, count_words
from planner.model import Aim, Plan, PlanStatus
from planner.units import SiteTime

TIME = SiteTime(date(2027, 6, 1), 20, ZoneInfo("Europe/London"))
AUTUMN = SiteTime(date(2027, 10, 30), 3, ZoneInfo("Europe/London"))
"""Its second day has 25 hours: 01:00 to 02:00 comes twice."""


@pytest.mark.parametrize(
    ("aim", "value", "bound", "proved", "open_"),
    [
        # 7 days and 17 hours after Tuesday the 1st begins: 7.708333 days, kept to six decimals.
        (
            Aim.FINISH,
            7.708333,
            6.375,
            "Finish Tue 8 Jun 17:00, proved: no plan finishes earlier",
            "Finish Tue 8 Jun 17:00, not proved best: no plan can finish before Mon 7 Jun 09:00",
        ),
        (
            Aim.CLOSURES,
            3.0,
            1.0,
            "3 closures, proved: no plan uses fewer",
            "3 closures, not proved best: no plan can use fewer than 1 closure",
        ),
        (
            Aim.COST,
            12400.5,
            9000.0,
            "12,400.50 GBP, proved: no plan costs less",
            "12,400.50 GBP, not proved best: no plan can cost less than 9,000.00 GBP",
        ),
        (
            Aim.CHANGE,
            1.0,
            0.0,
            "1 operation changed, proved: no plan changes fewer",
            "1 operation changed, not proved best: no plan can change fewer than 0 operations",
        ),
    ],
)
def test_a_plan_is_proved_best_or_something_else_is_known(
    aim: Aim, value: float, bound: float, proved: str, open_: str
) -> None:
    best = Plan("Job", PlanStatus.OPTIMAL, aim, value, value, ())
    assert standing_words(best, TIME, "GBP") == proved
    assert standing_words(Plan("Job", PlanStatus.FEASIBLE, aim, value, bound, ()), TIME, "GBP") == open_


def test_one_is_not_many() -> None:
    assert [count_words(count, "day") for count in (0, 1, 2, 1200)] == ["0 days", "1 day", "2 days", "1,200 days"]
    assert [count_words(count, "breach", "breaches") for count in (1, 3)] == ["1 breach", "3 breaches"]


def test_a_repeated_hour_is_told_apart_by_the_zones_own_name_and_no_other_is() -> None:
    assert [clock(AUTUMN, 96 + slot) for slot in (-4, 0, 3, 4, 8, 11, 12)] == [
        "23:00",
        "00:00",
        "00:45",
        "01:00 BST",
        "01:00 GMT",
        "01:45 GMT",
        "02:00",
    ]
