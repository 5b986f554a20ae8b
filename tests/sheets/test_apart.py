"""The head of a sheet says when the clocks change in its shift, and when its plan was issued on another forecast."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from planner.sheets.rows import ShiftSheet
from planner.sheets.shift_sheet import shift_sheets
from tests.jobs import FIRST_DAY, night_closure, road_fields, steady_days
from tests.sheets.cases import placed, plan_of, planned, road_job_with

FORWARD, BACK = date(2024, 3, 30), date(2024, 10, 26)
"""Saturdays before the clocks of the United Kingdom went forward at 01:00, and back at 02:00 (Summer Time Order)."""


def sheet_of(first: date, header: int) -> ShiftSheet:
    """Return the sheet of a first night on which the saw starts at 21:45, and the header at slot `header`."""
    fields, later = road_fields(), first - FIRST_DAY
    closures = [
        {**one, "start": one["start"] + later, "finish": one["finish"] + later} for one in [night_closure("C1", 0)]
    ]
    job = road_job_with(
        {
            "job": {**fields["job"], "first_day": first},
            "forecast": {"days": steady_days(5, 10.0, 10.0, first), "source": "steady"},
            "closures": closures,
        }
    )
    plan = plan_of(placed("saw", 87, 91), placed("header", header, header + 8))
    [found] = shift_sheets(planned(plan, job), "G1", first)
    return found


@pytest.mark.parametrize(
    ("first", "head", "hours", "work"),
    [
        (
            FORWARD,
            "CLOCKS GO FORWARD on Sun 31 Mar at 01:00, to 02:00: 01:00-02:00 does not exist",
            "cones off at 05:00 is 7 h after 21:00",
            "00:00-03:00 (2\u00a0h)",
        ),
        (
            BACK,
            "CLOCKS GO BACK on Sun 27 Oct at 02:00, to 01:00: 01:00-02:00 comes twice",
            "cones off at 05:00 is 9 h after 21:00",
            "00:00-01:00 GMT (2\u00a0h)",
        ),
    ],
)
def test_the_night_on_which_the_clocks_change(first: date, head: str, hours: str, work: str) -> None:
    sheet = sheet_of(first, header=96)
    assert sheet.apart == (f"{head}; {hours}",)
    saw, header = sheet.running
    assert saw.planned == "21:45-22:45"
    assert header.planned.replace(" to ", "-") == work


def test_another_night_says_nothing() -> None:
    assert sheet_of(FORWARD - timedelta(days=7), header=96).apart == ()


def test_a_plan_issued_on_another_forecast_is_told() -> None:
    [sheet] = shift_sheets(replace(planned(), issued_on="Issue 3 …"), "G1", FIRST_DAY)
    assert sheet.apart == ("Issue 3 …",)
