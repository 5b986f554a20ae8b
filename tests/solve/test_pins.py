"""Pins: kept by the planner, found moved by the audit, named where they leave no plan, checked in the file.

The wall of `small_job`, from Monday 3 June 2024: prime 2 h, coat 3 h, backfill 4 h by one gang on weekdays 07-17.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

import pytest

from planner.audit.check import audit
from planner.errors import JobFileError
from planner.jobfile.read import read_job_text
from planner.model import Aim, Job, Pin
from planner.problem.requirements import Kind
from planner.solve.options import Ways
from planner.solve.reasons import explain_no_plan
from planner.solve.run import Outcome, solve_job
from tests import jobs
from tests.audit.feature_job import weather_of
from tests.jobfile.texts import GOOD


def wall(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """Return local wall time on a day of June 2024."""
    return datetime.combine(date(2024, 6, day), time(hour, minute))


TUESDAY_10 = wall(4, 10)


def pinned(operation: str = "E1/prime", **pin: Any) -> Job:
    gangs = [jobs.gang("G1"), jobs.gang("G2")]
    return jobs.small_job(gangs=gangs, pins=[{"operation": operation, **pin}])


def solved(job: Job, aim: Aim = Aim.FINISH) -> Outcome:
    return solve_job(job, weather_of(job, {}), aim=aim, seconds=20, trials=60)


@pytest.mark.parametrize(
    ("pin", "hour"),
    [
        ({"start": TUESDAY_10}, 24 + 10),
        ({"not_before": wall(3, 9, 5)}, 9.25),
        ({"not_after": wall(3, 9)}, 7),
    ],
)
def test_a_pinned_operation_starts_where_it_may(pin: dict[str, Any], hour: float) -> None:
    job = pinned(**pin)
    plan = solved(job).plan
    assert plan is not None
    assert plan.visits_of("E1/prime")[0].start == hour * 4
    assert audit(job, weather_of(job, {}), plan) == ()


def test_a_pinned_gang_does_it() -> None:
    job = pinned(gang="G2")
    plan = solved(job).plan
    assert plan is not None
    assert plan.visits_of("E1/prime")[0].gang == "G2"
    other = tuple(replace(placed, gang="G1") for placed in plan.placements)
    found = audit(job, weather_of(job, {}), replace(plan, placements=other))
    assert [finding.code for finding in found] == ["pin-moved"]


@pytest.mark.parametrize("slots", [-1, 1])
def test_the_audit_finds_a_pin_that_was_moved(slots: int) -> None:
    job = pinned(start=TUESDAY_10)
    plan = solved(job).plan
    assert plan is not None
    moved = tuple(
        replace(placed, start=placed.start + slots, finish=placed.finish + slots)
        if placed.operation == "E1/prime"
        else placed
        for placed in plan.placements
    )
    assert "pin-moved" in {
        finding.code for finding in audit(job, weather_of(job, {}), replace(plan, placements=moved))
    }


def test_a_pin_that_cannot_hold_is_the_reason() -> None:
    """Sunday at 10 nobody is at work; the pin and the shifts clash."""
    job = pinned(start=wall(9, 10))
    ways = Ways(job, weather_of(job, {}))
    found = explain_no_plan(ways, {}, [])
    assert {requirement.kind for requirement in found.requirements} == {Kind.PIN, Kind.SHIFT}
    assert found.proved
    assert any("is pinned: it starts at Sun 9 Jun 10:00" in reason for reason in found.reasons)


@pytest.mark.parametrize(
    ("pin", "words"),
    [
        ({}, "needs start"),
        ({"start": wall(3, 7, 10)}, "quarter-hour"),
        ({"start": TUESDAY_10, "not_after": TUESDAY_10}, "without it"),
        ({"not_before": TUESDAY_10, "not_after": wall(3)}, "not come before"),
    ],
)
def test_a_pin_that_means_nothing_is_refused(pin: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Pin(operation="E1/prime", **pin)


@pytest.mark.parametrize(
    ("pin", "code"),
    [
        ('operation = "J1/cutt"\nstart = 2024-06-03T21:00:00', "unknown-operation"),
        ('operation = "J1/cut"\ngang = "G9"', "unknown-gang"),
        ('operation = "J1/cut"\nstart = 2025-06-03T21:00:00', "outside-job"),
    ],
)
def test_a_pin_of_a_file_is_checked(pin: str, code: str) -> None:
    text = f"{GOOD}\n[[pins]]\n{pin}\n"
    with pytest.raises(JobFileError) as caught:
        read_job_text(text, "job.toml")
    (fault,) = caught.value.faults
    assert fault.code == code
    assert fault.line is not None
    assert fault.line > GOOD.count("\n")
