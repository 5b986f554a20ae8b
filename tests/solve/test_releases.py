"""Hold points that somebody must release: attendance, notice, and the earliest plan, by hand and by trying all.

One wall, first coat 2 h and second coat 2 h, before which the engineer releases a hold point; the gang works 07:00 to
19:00 every day from Monday 3 June, and attendance is stated by each test.
"""

from __future__ import annotations

import random
from datetime import date
from typing import Any

import pytest

from planner.audit.case import Case
from planner.audit.check import Auditor, audit
from planner.audit.release_checks import short_notices
from planner.model import Aim, Job, Plan
from planner.solve.run import Outcome, solve_job
from planner.units import Slot
from tests import jobs
from tests.audit.feature_job import at, weather_of

WEEKDAYS = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"


def held_job(first_h: float = 2.0, gap_h: float = 0.0, takes_h: float = 0.0, **releaser: Any) -> Job:
    """Return the wall; keywords beyond the lengths describe the engineer."""
    fields = jobs.small_fields()
    fields["gangs"] = [jobs.gang(shifts=[{"name": "Day", "rule": "FREQ=DAILY", "start": "07:00", "finish": "19:00"}])]
    second = jobs.operation("two", 2.0, hold_point="Film inspected", release={"by": "engineer", "takes_h": takes_h})
    gaps = [{"after": "one", "before": "two", "not_before_h": gap_h}] if gap_h else []
    fields["methods"] = [jobs.method(jobs.operation("one", first_h), second, gaps=gaps)]
    fields["releasers"] = [{"id": "engineer", "name": "The engineer", **releaser}]
    return jobs.make_job(fields)


def attends(start: str, finish: str, rule: str = WEEKDAYS) -> list[dict[str, str]]:
    return [{"rule": rule, "start": start, "finish": finish}]


def solved(job: Job, **more: Any) -> Outcome:
    return solve_job(job, weather_of(job, {}), seconds=20, trials=120, **more)


def plan_of(job: Job, **more: Any) -> Plan:
    outcome = solved(job, **more)
    assert outcome.plan is not None, outcome.reasons
    assert audit(job, weather_of(job, {}), outcome.plan) == ()
    return outcome.plan


def start_of(plan: Plan, key: str) -> int:
    return plan.visits_of(key)[0].start


@pytest.mark.parametrize(
    ("fields", "second"),
    [
        ({}, at(0, 9)),
        ({"takes_h": 0.5}, at(0, 9.5)),
        ({"attends": attends("10:00", "17:00")}, at(0, 10)),
        ({"attends": attends("10:00", "17:00"), "takes_h": 0.5}, at(0, 10.5)),
        ({"attends": attends("08:00", "09:00"), "takes_h": 0.25}, at(1, 8.25)),
        ({"attends": attends("08:00", "17:00"), "days_off": [date(2024, 6, 3)]}, at(1, 8)),
        ({"attends": attends("16:00", "16:30"), "gap_h": 7.5}, at(1, 16)),
    ],
)
def test_the_second_coat_starts_once_it_can_have_been_released(fields: dict[str, Any], second: int) -> None:
    """By hand: the first coat is done on Monday at 09:00; with a gap of 7 h 30 min it can be inspected from 16:30."""
    if fields.get("gap_h"):
        fields = {**fields, "takes_h": 0.25}
    plan = plan_of(held_job(**fields))
    assert start_of(plan, "E1/two") == second + (1 if fields.get("gap_h") else 0)
    assert plan.status.value == "optimal"


def test_a_job_can_state_the_release_of_a_methods_hold_point_for_its_elements() -> None:
    job = held_job()
    method = job.methods[0]
    plain = tuple(one.model_copy(update={"release": None}) for one in method.operations)
    fields = job.model_dump(exclude_none=True)
    fields["methods"] = [method.model_copy(update={"operations": plain}).model_dump(exclude_none=True)]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    fields["releasers"][0]["attends"] = attends("12:00", "13:00")
    fields["releases"] = [{"elements": ["E2"], "operation": "two", "by": "engineer"}]
    plan = plan_of(jobs.make_job(fields))
    assert start_of(plan, "E1/two") < at(0, 12) <= start_of(plan, "E2/two")


def test_nobody_who_attends_is_a_reason_for_no_plan() -> None:
    job = held_job(attends=attends("08:00", "08:15"), takes_h=1.0)
    outcome = solved(job)
    assert outcome.plan is None
    assert outcome.proved
    assert any("The engineer" in reason and "hold point" in reason for reason in outcome.reasons)
    assert any("Enough would be: The engineer until 09:00 instead of 08:15" in one for one in outcome.reasons)


# --- Notice -------------------------------------------------------------------------------------------------------


def noticed(notice_h: float, notice_in: str = "hours") -> Job:
    return held_job(attends=attends("08:00", "17:00"), notice_h=notice_h, notice_in=notice_in)


def test_without_a_time_by_which_it_is_now_notice_can_be_given_before_the_first_day() -> None:
    assert start_of(plan_of(noticed(48)), "E1/two") == at(0, 9)


@pytest.mark.parametrize(
    ("notice_in", "second"),
    [("hours", at(1, 9.25)), ("attended hours", at(3, 15.25))],
)
def test_a_hold_point_comes_no_sooner_than_now_and_its_notice(notice_in: str, second: int) -> None:
    """By hand: now is Monday 09:15 and 24 h later Tuesday 09:15; at 9 h a day from 09:15 the 24th hour ends on
    Wednesday at 15:15: 7 h 45 min, 9 h and 7 h 15 min."""
    job = noticed(24, notice_in)
    first = replaced(plan_of(job), "E1/two", at(9, 9))
    plan = plan_of(job, base=first, now=Slot(at(0, 9.25)))
    assert start_of(plan, "E1/two") == (second if notice_in == "hours" else at(2, 15.25))


def test_what_was_issued_for_a_time_may_stay_there() -> None:
    job = noticed(24)
    issued = replaced(plan_of(job), "E1/two", at(0, 15))
    plan = plan_of(job, aim=Aim.CHANGE, base=issued, now=Slot(at(0, 9.25)))
    assert start_of(plan, "E1/two") == at(0, 15)
    sooner = plan_of(job, base=issued, now=Slot(at(0, 9.25)))
    assert start_of(sooner, "E1/two") == at(0, 15)


def test_the_audit_finds_a_notice_that_is_too_short() -> None:
    job = noticed(24)
    plan = plan_of(job)
    side = Auditor(job, weather_of(job, {})).side_of(plan)
    now = at(0, 8.75)
    [found] = short_notices(Case(side, plan), now)
    assert (found.code, found.place) == ("notice-short", "E1/two")
    assert short_notices(Case(side, plan), now, plan) == ()
    later = replaced(plan, "E1/two", at(1, 9))
    assert short_notices(Case(side, later), now, plan) == ()


def replaced(plan: Plan, key: str, start: int) -> Plan:
    """Return the plan with an operation moved to another start, its stated value left as it is."""
    from planner.audit.explain import moved

    return moved(plan, key, start - start_of(plan, key))


# --- Against trying everything ------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(30))
def test_random_jobs_reach_the_earliest_finish_of_all_starts(seed: int) -> None:
    """Tries every start of both coats in quarter-hours, and every moment at which the release could begin."""
    draw = random.Random(seed)
    open_h, shut_h = sorted(draw.sample(range(4, 40), 2))
    takes = draw.randint(0, 6)
    window = attends(f"{open_h // 2:02d}:{open_h % 2 * 30:02d}", f"{shut_h // 2:02d}:{shut_h % 2 * 30:02d}")
    first, gap = draw.randint(1, 20), draw.randint(0, 30)
    job = held_job(first_h=first / 4, gap_h=gap / 4, takes_h=takes / 4, attends=window)
    expected = _earliest(first, gap, takes, (open_h * 2, shut_h * 2), days=10)
    outcome = solved(job)
    assert (outcome.plan.finish if outcome.plan else None) == expected
    if outcome.plan:
        assert audit(job, weather_of(job, {}), outcome.plan) == ()


def _earliest(first: int, gap: int, takes: int, window: tuple[int, int], days: int) -> int | None:
    """Return the earliest finish of the second coat; 8 slots long, both in slots 28 to 76 of a day; no weekends."""

    def inside(start: int, length: int) -> bool:
        return start % 96 >= 28 and start % 96 + length <= 76 and start // 96 < days

    released = [
        slot
        for slot in range(days * 96)
        if slot // 96 % 7 < 5 and window[0] <= slot % 96 and slot % 96 + takes <= window[1]
    ]
    found = [
        second + 8
        for start in range(days * 96)
        if inside(start, first)
        for second in range(start + first + gap, days * 96)
        if inside(second, 8) and any(start + first + gap <= slot and slot + takes <= second for slot in released)
    ]
    return min(found, default=None)
