"""Recorded work that broke a rule of the site is told, to the minute: it can't be mended, and must not be hidden.

The closure: cones on Mon 06:00, work from 06:45; work until 16:30, cones off 17:00.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from planner.findings import Finding, Weight
from planner.replan.replan import replan
from planner.sheets.shift_sheet import shift_sheets
from planner.site_record.findings import record_findings
from planner.site_record.follows import next_lines
from planner.site_record.on_paper import planned_of
from tests.jobs import Fields
from tests.site_record.cases import COAT, PRIME, Wall, at, entry, wall, wall_fields

SHUT: Fields = {
    "start": datetime.fromisoformat("2024-06-03T06:00"),
    "finish": datetime.fromisoformat("2024-06-03T17:00"),
    "set_out_min": 45,
    "clear_min": 30,
}


def lane_fields(*record: Fields, **more: Any) -> Fields:
    """Return the wall's job with its primer in a lane that must be shut."""
    fields = wall_fields(*record)
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["closures"] = [{"id": "C1", "name": "Lane shut", "lanes": ["L1"], "state": "agreed", **SHUT}]
    fields["elements"][0]["lanes"] = ["L1"]
    fields["methods"][0]["operations"][0] |= {"lanes_shut": True, **more}
    return fields


def found(case: Wall, code: str) -> list[Finding]:
    return [one for one in record_findings(case.stood, case.auditor) if one.code == code]


@pytest.mark.parametrize(
    ("started", "finished", "words"),
    [
        ("05:35", "08:00", "started Mon 3 Jun 05:35, 70 min before the closure shut it (25 min before cones on)"),
        ("06:44", "08:00", "started Mon 3 Jun 06:44, 1 min before the closure shut it"),
        ("15:00", "16:31", "finished Mon 3 Jun 16:31, 1 min after work had to be out of it, the cones being lifted"),
        ("15:00", "17:40", "finished Mon 3 Jun 17:40, 40 min after cones off"),
        ("17:40", "18:00", "started Mon 3 Jun 17:40, 40 min after cones off"),
    ],
)
def test_work_in_a_lane_that_was_open_is_told_to_the_minute(started: str, finished: str, words: str) -> None:
    case = wall(fields=lane_fields(entry(PRIME, started=started, finished=finished)))
    [one] = found(case, "outside-closure")
    assert one.found.endswith(words)
    assert one.weight is Weight.BREACH
    assert "correct the entry" in one.remedy


@pytest.mark.parametrize(("started", "finished"), [("06:45", "09:00"), ("14:00", "16:30")])
def test_work_between_set_out_and_clearing_is_not_told(started: str, finished: str) -> None:
    case = wall(fields=lane_fields(entry(PRIME, started=started, finished=finished)))
    assert found(case, "outside-closure") == []


def test_work_in_a_lane_that_no_closure_shuts_is_told() -> None:
    fields = lane_fields(entry(PRIME, started="07:00", finished="09:00"))
    fields["closures"] = []
    [one] = found(wall(fields=fields), "closure-missing")
    assert one.found == "recorded as worked Mon 3 Jun 07:00 to 09:00"


def test_the_sheet_and_the_rest_say_it_too() -> None:
    fields = lane_fields(entry(PRIME, started="07:20", finished="09:00"))
    fields["closures"][0]["start"] += timedelta(hours=1)
    case = wall(fields=fields)
    planned = planned_of(case.job, case.weather, case.plan, case.auditor)
    [sheet] = shift_sheets(planned, "G1", case.job.job.first_day)
    assert any("before the closure shut it" in words for words in sheet.broken)
    prime = sheet.running[0]
    assert (prime.started, prime.finished, prime.spare) == ("07:20", "09:00", "Broken as recorded.")
    rest = replan(case.job, case.weather, case.plan, case.stood.now, trials=5, stood=case.stood, side_by_side=False)
    assert rest.best.plan is not None
    assert [one.code for one in rest.best.standing] == ["outside-closure"]


def test_a_row_is_called_broken_only_where_the_head_of_the_sheet_says_so() -> None:
    """The primer was finished in the quarter-hour before the coat's gap opened: to the minute nothing is broken."""
    record = (entry(PRIME, started="07:00", finished="09:00"), entry(COAT, started="14:06", finished="17:00"))
    case = wall(*record)
    [sheet] = shift_sheets(planned_of(case.job, case.weather, case.plan, case.auditor), "G1", case.job.job.first_day)
    assert sheet.broken == ()
    assert not any("Broken" in row.spare for row in sheet.running)


def test_work_in_no_shift_is_a_breach_and_a_shift_that_ran_over_is_advice() -> None:
    [night] = found(wall(entry(PRIME, started="02:00", finished="04:00")), "outside-shift")
    assert night.weight is Weight.BREACH
    assert "recorded as worked Mon 3 Jun 02:00 to 04:00" in night.found
    [early] = found(wall(entry(PRIME, started="06:30", finished="09:00")), "outside-shift")
    assert early.weight is Weight.ADVICE
    assert found(wall(entry(PRIME, started="06:50", finished="09:00")), "outside-shift") == []


@pytest.mark.parametrize(("second", "told"), [("08:00", 1), ("08:55", 0)])
def test_plant_in_use_twice_is_told_and_a_shared_quarter_hour_is_not(second: str, told: int) -> None:
    record = (entry(PRIME, started="07:00", finished="09:00"), entry("E2/prime", started=second, finished="10:00"))
    fields = wall_fields(*record)
    fields["plant"] = [{"id": "spray", "name": "Sprayer", "count": 1}]
    fields["methods"][0]["operations"][0]["plant"] = ["spray"]
    fields["elements"].append({**fields["elements"][0], "id": "E2", "name": "Element E2"})
    case = wall(fields=fields)
    short = found(case, "plant-over")
    assert [one.place for one in short] == ["E2/prime"] * told
    assert all(one.weight is Weight.BREACH for one in short)


def test_work_recorded_in_the_dark_is_told() -> None:
    fields = wall_fields(entry(PRIME, started="22:30", finished="23:30", noted="23:40"))
    fields["methods"][0]["operations"][0]["light"] = "daylight"
    assert [one.place for one in found(wall(fields=fields, now=at("23:45")), "dark")] == [PRIME]


def test_a_recorded_hold_point_is_never_shown_as_released() -> None:
    record = entry(PRIME, started="07:00", noted="07:01")
    case = wall(fields=lane_fields(record, hold_point="Concrete seen by the engineer"), now=at("07:05"))
    first, *_ = next_lines(case.stood, case.auditor, PRIME)
    assert first.startswith("hold point: Concrete seen by the engineer. Somebody must have released it before")
    assert first.endswith("this record does not say so.")


def test_a_hold_before_reopening_is_told_once_the_work_is_finished() -> None:
    begun, done = (
        wall(fields=lane_fields(record, reopening_hold="Film dry"), now=at("09:05"))
        for record in (entry(PRIME, started="07:00", noted="07:01"), entry(PRIME, started="07:00", finished="09:00"))
    )
    assert not [line for line in next_lines(begun.stood, begun.auditor, PRIME) if "hold point" in line]
    first, *_ = next_lines(done.stood, done.auditor, PRIME)
    assert first == (
        "hold point before the lane reopens: Film dry. "
        "It reopens only when somebody entitled to do so has released it, on site."
    )


def test_what_comes_next_says_that_it_waits_for_its_release_and_its_lane() -> None:
    fields = lane_fields(entry(PRIME, started="07:00", finished="09:00"))
    fields["methods"][0]["operations"][1] |= {"lanes_shut": True, "hold_point": "Primer seen by the engineer"}
    case = wall(fields=fields, now=at("09:05"))
    [line] = next_lines(case.stood, case.auditor, PRIME)
    assert line.endswith("Only in its closure. Hold point: only once it is released.")


def test_go_and_no_go_of_recorded_work_is_told_to_the_minute() -> None:
    case = wall(entry(PRIME, started="07:07", finished="09:22", readings={"surface_c": 8.5}))
    [sheet] = shift_sheets(planned_of(case.job, case.weather, case.plan, case.auditor), "G1", case.job.job.first_day)
    prime, coat = ({row.when for row in sheet.limits if row.work.startswith(name)} for name in ("Prime", "Coat"))
    assert prime == {"07:07-09:22"}
    assert [row.reading for row in sheet.limits if row.limit.startswith("Surface 5 to")] == ["8.5 °C", ""]
    assert coat == {"14:00-17:00"}
