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
from planner.site_record.follows import next_lines
from planner.site_record.rest import Rest, findings_on, rest_of
from planner.solve.let_go import missed_gaps
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


def planned_on(loaded: LoadedJob, rest: Rest, aim: Aim, auditor: Auditor) -> Plan:
    """Return a plan of the rest that breaks nothing but what is done."""
    found = solve_job(
        loaded.job,
        loaded.weather,
        aim=aim,
        seconds=6,
        trials=2,
        base=rest.base,
        now=rest.now,
        begun=rest.begun,
    )
    assert found.plan is not None, found.reasons
    assert rest.unclean(found.plan, auditor) == ()
    return found.plan


@pytest.mark.parametrize("aim", [Aim.FINISH, Aim.CHANGE])
def test_the_rest_is_planned_around_what_is_done(
    planned: tuple[LoadedJob, Plan], recorded: LoadedJob, aim: Aim
) -> None:
    auditor = Auditor(recorded.job, recorded.weather)
    rest = rest_of(recorded.job, auditor, planned[1] if aim is Aim.CHANGE else None)
    assert rest is not None
    new_plan = planned_on(recorded, rest, aim, auditor)
    old = {(one.operation, one.visit): one for one in rest.base.placements if one.operation in rest.begun}
    new = {(one.operation, one.visit): one for one in new_plan.placements}
    assert {key: new[key] for key in old} == old
    assert all(one.start >= rest.now for one in new_plan.placements if one.operation not in rest.begun)


MISSED_AT = (3 * 24 + 14) * 60
"""Thursday 25 March, 14:00: the primer of the wing wall, of Monday, was to be coated by 12:55."""
AGAIN = {
    "id": "prime_again",
    "name": "Wash down and prime again",
    "elements": ["wing_ne", "wing_sw"],
    "after": "prime",
    "before": "coat_1",
    "skill": "coating",
    "quantity": "area_m2",
    "output_per_h": 15.0,
    "product": "bitumen_primer",
    "curve": "to_coat",
    "cost": 120.0,
}
"""The remedy that its method only has in words, as Job set-up writes it when it is added there."""


def with_missed_gap(loaded: LoadedJob, plan: Plan, offers: bool) -> LoadedJob:
    """Return the job with all done as planned until then, but for the coat of that wall; offers: the remedy."""
    drafts = [
        Draft(one.operation, one.visit, MISSED_AT, one.start * 15, one.finish * 15)
        for one in plan.placements
        if one.finish * 15 <= MISSED_AT and one.operation not in ("wing_ne/coat_1", "wing_ne/coat_2", "wing_ne/board")
    ]
    changes = change_for(loaded.job, *drafts) | ({("remedies", "+1"): AGAIN} if offers else {})
    return with_job_text(loaded, changed_text(loaded.text, changes))


def test_a_missed_gap_with_a_remedy_in_words_says_what_to_add(planned: tuple[LoadedJob, Plan]) -> None:
    loaded = with_missed_gap(*planned, offers=False)
    auditor = Auditor(loaded.job, loaded.weather)
    rest = rest_of(loaded.job, auditor, planned[1], MISSED_AT)
    assert rest is not None
    missed = {one.before: one for one in missed_gaps(loaded.job, loaded.weather, rest.stood, rest.now)}
    assert "Wash down and prime again." in missed["wing_ne/coat_1"].words
    assert "or add it as work under Remedies in Job set-up" in missed["wing_ne/coat_1"].words
    told = "\n".join(next_lines(rest.stood, auditor, "wing_ne/prime"))
    assert "the gap has shut. Wash down and prime again. To have that planned, add it as work under Remedies" in told


def test_planning_the_rest_plans_the_remedy_that_the_job_offers(planned: tuple[LoadedJob, Plan]) -> None:
    loaded = with_missed_gap(*planned, offers=True)
    auditor = Auditor(loaded.job, loaded.weather)
    rest = rest_of(loaded.job, auditor, planned[1], MISSED_AT)
    assert rest is not None
    told = "\n".join(next_lines(rest.stood, auditor, "wing_ne/prime"))
    assert "Planning the rest plans “Wash down and prime again” before it." in told
    assert missed_gaps(loaded.job, loaded.weather, rest.stood, rest.now) == ()
    plan = planned_on(loaded, rest, Aim.CHANGE, auditor)
    [again], [coat] = plan.visits_of("wing_ne/prime_again"), plan.visits_of("wing_ne/coat_1")
    assert rest.now <= again.start < again.finish <= coat.start
    assert plan.visits_of("wing_sw/prime_again") == ()  # its gap was met
    assert not any(one.place.startswith("wing_ne/") for one in findings_on(loaded.job, plan, auditor))
