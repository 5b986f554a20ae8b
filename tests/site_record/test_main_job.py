"""The main sample job with a record on it: planned from nothing, and from its old plan, around what is done."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from planner.audit.check import Auditor
from planner.jobfile.load import LoadedJob, load_job, with_job_text
from planner.jobfile.write import changed_text
from planner.model import Aim, Plan
from planner.site_record.entries import Draft, change_for
from planner.site_record.rest import rest_of
from planner.solve.run import solve_job

JOB = Path(__file__).resolve().parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"
SLOWER_MIN = 20
"""Minutes by which each recorded work took longer than planned."""


@pytest.fixture(scope="module")
def planned() -> tuple[LoadedJob, Plan]:
    loaded = load_job(JOB)
    plan = solve_job(loaded.job, loaded.weather, seconds=30, trials=1).plan
    assert plan is not None
    return loaded, plan


@pytest.fixture(scope="module")
def recorded(planned: tuple[LoadedJob, Plan]) -> LoadedJob:
    """Return the job with its first day recorded until noon, each work a little longer than planned."""
    loaded, plan = planned
    noon = 12 * 60
    assert loaded.job.time.first_day == date(2027, 3, 22)
    drafts = [
        Draft(
            one.operation, one.visit, noon, one.start * 15 + 5, one.finish * 15 + SLOWER_MIN, readings={"air_c": 8.0}
        )
        for one in plan.placements
        if one.finish * 15 + SLOWER_MIN <= noon
    ]
    assert len(drafts) >= 4
    return with_job_text(loaded, changed_text(loaded.text, change_for(loaded.job, *drafts)))


@pytest.mark.parametrize("aim", [Aim.FINISH, Aim.CHANGE])
def test_the_rest_is_planned_around_what_is_done(
    planned: tuple[LoadedJob, Plan], recorded: LoadedJob, aim: Aim
) -> None:
    auditor = Auditor(recorded.job, recorded.weather)
    rest = rest_of(recorded.job, auditor, planned[1] if aim is Aim.CHANGE else None)
    assert rest is not None
    found = solve_job(
        recorded.job,
        recorded.weather,
        aim=aim,
        seconds=6,
        trials=2,
        base=rest.base,
        now=rest.now,
        begun=rest.begun,
    )
    assert found.plan is not None, found.reasons
    assert rest.unclean(found.plan, auditor) == ()
    old = {(one.operation, one.visit): one for one in rest.base.placements if one.operation in rest.begun}
    new = {(one.operation, one.visit): one for one in found.plan.placements}
    assert {key: new[key] for key in old} == old
    assert all(one.start >= rest.now for one in found.plan.placements if one.operation not in rest.begun)
