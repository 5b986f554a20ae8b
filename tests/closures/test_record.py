"""A study of a job with a site record: what is done stands, and closures that are past are past.

Two joints, an hour of sawing and one of header each, four closures; E0 was done in the first::

    C0 10:00-16:00   C1 17:00-23:00   C2 next day 10:00-16:00   C3 17:00-23:00
    E0 11:05-13:20   nothing          E1 is left
"""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any

import pytest

from planner.cli.closures_table import study_lines
from planner.closures.lengths import least_length
from planner.closures.paper import request_list
from planner.closures.plain import PlanBook, study_from_plain, study_to_plain
from planner.closures.planning import Planner
from planner.closures.standing import Standing
from planner.closures.study import study
from planner.model import Job, Placement, Plan
from planner.weather.job_weather import JobWeather
from tests.closures.jobs import closure, random_fields, with_weather
from tests.closures.test_files import MADE
from tests.jobs import FIRST_DAY, Fields, element, gang, make_job, method, operation

NIGHT_AND_DAY = {"name": "All day", "rule": "FREQ=DAILY", "start": "00:00", "finish": "23:45"}


def clock(hours: int, minutes: int) -> datetime:
    """Return a wall time of the job's first days."""
    return datetime.combine(FIRST_DAY, datetime.min.time()) + timedelta(hours=hours, minutes=minutes)


def entry(key: str, started: datetime, finished: datetime | None, noted: datetime) -> Fields:
    times = {"started": started} | ({} if finished is None else {"finished": finished})
    return {"operation": key, "noted_at": noted, **times}


def joints(*record: Fields, **more: Any) -> tuple[Job, JobWeather]:
    fields = random_fields(0)
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["gangs"] = [gang("G0", shifts=[NIGHT_AND_DAY])]
    fields["methods"] = [
        method(
            operation("saw", 1.0, lanes_shut=True),
            operation("header", 1.0, lanes_shut=True),
            exposed=[{"name": "open joint", "first": "saw", "last": "header"}],
        )
    ]
    fields["elements"] = [element("E0", lanes=["L1"]), element("E1", lanes=["L1"])]
    fields["closures"] = [closure(f"C{number}", hour, 6) for number, hour in enumerate((10, 17, 34, 41))]
    fields["record"] = list(record)
    return with_weather(make_job({**fields, **more}))


DONE = (
    entry("E0/saw", clock(11, 5), clock(12, 10), clock(13, 30)),
    entry("E0/header", clock(12, 10), clock(13, 20), clock(13, 30)),
)
NEXT_MORNING = entry("E0/header", clock(12, 10), clock(13, 20), clock(24, 0)) | {"corrects": 2}


def where(plan: Plan, element: str) -> list[Placement]:
    return [placed for placed in plan.placements if placed.operation.startswith(f"{element}/")]


def test_done_work_stands_and_its_closure_is_not_in_question() -> None:
    job, weather = joints(*DONE)
    found = study(job, weather, seconds=10)
    assert found.record is not None
    assert (found.record.done, found.record.under_way, found.record.closures) == (2, 0, ("C0",))
    assert found.recommended is not None
    for step in (*found.by_number.steps, *found.by_money.steps, found.recommended):
        assert "C0" not in step.closures
        assert [(one.start, one.finish) for one in where(step.plan, "E0")] == [(44, 49), (49, 54)]
    assert found.by_number.steps[0].closures in ((), ("C1",))
    text = "\n".join(study_lines(found))
    assert "From the record: 2 works done, up to " in text
    assert "not in question: C0" in text
    assert "From the record: 2 works done" in request_list(found, MADE).worth


def test_closures_whose_time_is_over_are_used_no_more() -> None:
    job, weather = joints(*DONE, NEXT_MORNING)
    found = study(job, weather, seconds=10)
    assert found.record is not None
    assert found.record.closures == ("C0", "C1")
    assert [step.closures for step in found.by_number.steps] == [("C2",)]
    refused = study(job, weather, refused=["C2"], seconds=10)
    assert [step.closures for step in refused.by_number.steps] == [("C3",)]
    none = study(job, weather, refused=["C2", "C3"], seconds=10)
    assert none.recommended is None
    assert none.proved_none


def test_least_lengths_are_of_the_rest_of_the_work() -> None:
    job, weather = joints(*DONE, NEXT_MORNING)
    planner = Planner(job, weather, math.inf)
    planner.attempt(planner.every, 20)
    best = planner.best(lambda _: True)
    assert best is not None
    used, plan = best
    least = least_length(planner, used, "C2", plan)
    assert (least.start_proved, least.finish_proved) == (True, True)
    assert least.window.length == 3 + 8 + 2  # 45 min for the cones, two hours of work, 30 min to clear
    assert where(least.plan, "E0") == where(plan, "E0")


def test_a_plan_from_before_the_record_counts_no_more() -> None:
    job, weather = joints(*DONE)
    before, _ = joints()
    old = study(before, weather, seconds=10).recommended
    assert old is not None
    assert where(old.plan, "E0")
    assert not Standing(job, weather).is_sound(job, old.plan)
    found = study(job, weather, known=[old.plan], seconds=10)
    assert found.recommended is not None
    assert [(one.start, one.finish) for one in where(found.recommended.plan, "E0")] == [(44, 49), (49, 54)]


def test_the_rest_is_studied_past_a_gap_that_recorded_work_missed() -> None:
    """E1 was to be sawn within 12 h of E0's header, and nothing is recorded of it by the next midnight."""
    link = {"after": "E0/header", "before": "E1/saw", "not_after_h": 12, "reason": "The tie dries out."}
    job, weather = joints(*DONE, NEXT_MORNING | {"noted_at": clock(30, 0)}, links=[link])
    found = study(job, weather, seconds=10)
    assert found.recommended is not None
    assert found.recommended.closures == ("C2",)
    assert found.record is not None
    [decide] = found.record.to_decide
    assert "was to go on by Tue 4 Jun 01:20 after" in decide
    text = "\n".join(study_lines(found))
    assert "a gap that can't be met any more is let go and to be decided on site." in text
    assert f"To be decided on site: {decide}" in text
    plan = found.recommended.plan
    again = study_from_plain(study_to_plain(found, PlanBook(job)), found.job, lambda _: plan)
    assert again.record == found.record


CUT = [closure("C0", 10, 3), closure("C1", 17, 6), closure("C2", 34, 6)]
REFUSED = [closure("C0", 10, 6, state="refused"), *CUT[1:]]
BEGUN = "“Saw” (Element E0) began Mon 3 Jun 11:00 in"


@pytest.mark.parametrize(
    ("noted", "closures", "words"),
    [
        (clock(17, 0), None, "whose work had to be over by Mon 3 Jun 15:30"),
        (clock(12, 15), CUT, "whose work has to be over by Mon 3 Jun 12:30"),
        (clock(12, 15), REFUSED, "which is refused now"),
        (clock(12, 15), CUT[1:], "no closure that the job has now"),
    ],
)
def test_a_joint_left_open_where_its_closure_was_lost_is_told_with_what_helps(
    noted: datetime, closures: list[Fields] | None, words: str
) -> None:
    begun = entry("E0/saw", clock(11, 5), clock(12, 10), noted)
    more = {} if closures is None else {"closures": closures}
    found = study(*joints(begun, **more), seconds=5)
    assert found.recommended is None
    assert found.proved_none
    said = next(reason for reason in found.reasons if reason.startswith(BEGUN))
    assert words in said
    assert "“Header” is still to do: until then Lane 1 can't carry traffic" in said
    one_out = [element("E0", lanes=["L1"], omit=["header"]), element("E1", lanes=["L1"])]
    assert study(*joints(begun, **more, elements=one_out), seconds=5).recommended is not None


def test_a_joint_begun_in_a_closure_that_still_stands_is_ended_in_it() -> None:
    job, weather = joints(entry("E0/saw", clock(11, 5), clock(12, 10), clock(13, 30)))
    found = study(job, weather, seconds=5)
    assert found.recommended is not None
    assert {one.closure for one in where(found.recommended.plan, "E0")} == {"C0"}
