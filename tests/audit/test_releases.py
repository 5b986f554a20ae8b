"""When hold points can be released and when notice of them is due; by hand, and over a clock change."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from planner.audit.case import Case
from planner.audit.check import Auditor
from planner.audit.explain import moved
from planner.audit.releases import Due, due_words, dues
from planner.audit.wording import at_minute
from planner.model import Job
from tests.audit.feature_job import feature_job, feature_plan, feature_weather
from tests.audit.test_each_code import NOBODY_BY_SEVEN

WEEKDAYS = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"


def job_with(takes_h: float = 0.5, **who: Any) -> Job:
    """Return the feature job, in which the engineer releases the lowering of B1.

    It is set by Thu 14:00 and lowered on Fri at 07:00.
    """
    release = {"elements": ["B1"], "operation": "lower", "by": "engineer", "takes_h": takes_h}
    return feature_job(releasers=[{"id": "engineer", "name": "The engineer", **who}], releases=[release])


def case_of(job: Job) -> Case:
    plan = feature_plan()
    return Case(Auditor(job, feature_weather(job)).side_of(plan), plan)


def due_of(job: Job) -> tuple[Case, Due]:
    case = case_of(job)
    [due] = dues(case)
    return case, due


def told(job: Job) -> tuple[str, str]:
    """Return when the release is due at the latest, and by when notice of it."""
    case, due = due_of(job)
    assert due.at is not None
    assert due.notice_by is not None
    return at_minute(case.side.time, due.at[1]), at_minute(case.side.time, due.notice_by)


def attends(start: str, finish: str, rule: str = WEEKDAYS) -> list[dict[str, str]]:
    return [{"rule": rule, "start": start, "finish": finish}]


@pytest.mark.parametrize(
    ("who", "release", "notice"),
    [
        ({"notice_h": 24}, "Fri 7 Jun 07:00", "Thu 6 Jun 06:30"),
        ({"attends": attends("08:00", "17:00"), "notice_h": 24}, "Thu 6 Jun 17:00", "Wed 5 Jun 16:30"),
        # 16:30 back through 8 h 30 min of Thursday, 9 h of Wednesday and 6 h 30 min of Tuesday: 10:30.
        (
            {"attends": attends("08:00", "17:00"), "notice_h": 24, "notice_in": "attended hours"},
            "Thu 6 Jun 17:00",
            "Tue 4 Jun 10:30",
        ),
        # The same with Wednesday off: 6 h 30 min are left for Monday.
        (
            {
                "attends": attends("08:00", "17:00"),
                "notice_h": 24,
                "notice_in": "attended hours",
                "days_off": [date(2024, 6, 5)],
            },
            "Thu 6 Jun 17:00",
            "Mon 3 Jun 10:30",
        ),
        # Ten days of 9 h before the job's first Monday: 90 h reach back over two weekends into May.
        (
            {"attends": attends("08:00", "17:00"), "notice_h": 90, "notice_in": "attended hours"},
            "Thu 6 Jun 17:00",
            "Thu 23 May 16:30",
        ),
    ],
)
def test_notice_is_counted_back_from_the_last_release_that_will_do(
    who: dict[str, Any], release: str, notice: str
) -> None:
    assert told(job_with(**who)) == (release, notice)


def test_a_release_waits_for_the_gap_to_open_too() -> None:
    gap = {"after": "set", "before": "lower", "not_before_h": 3}
    fields = job_with(attends=attends("08:00", "17:00")).model_dump(exclude_none=True)
    bearing = next(one for one in fields["methods"] if one["id"] == "bearing")
    bearing["gaps"] = [gap]
    case, due = due_of(Job.model_validate(fields))
    assert at_minute(case.side.time, due.ready) == "Thu 6 Jun 17:00"
    assert due.at is None


def test_the_words_name_who_between_which_times_and_the_notice() -> None:
    case, due = due_of(job_with(attends=attends("08:00", "17:00"), notice_h=24))
    assert due_words(case.side, due) == (
        "To be released by The engineer, which takes 30 min: "
        "from Thu 6 Jun 14:00 on, at the latest by Thu 6 Jun 17:00.",
        "Give notice by Wed 5 Jun 16:30 (24 h before).",
    )


def test_moving_what_goes_before_is_seen_at_the_hold_point() -> None:
    """While the bearing is dragged, the release after it is looked at too."""
    job = feature_job(**{**NOBODY_BY_SEVEN, "links": []})
    auditor, plan = Auditor(job, feature_weather(job)), feature_plan()
    earlier = moved(plan, "B1/set", -2)
    assert "hold-unreleased" in {one.code for one in auditor.audit_one(plan, "B1/set")}
    assert "hold-unreleased" not in {one.code for one in auditor.audit_one(earlier, "B1/set")}
