"""A gap that recorded work missed does not stop all planning: the rest is planned, and people are told to decide."""

from __future__ import annotations

import pytest

from planner.findings import Weight
from planner.model import Aim
from planner.replan.replan import Replanned, replan
from planner.site_record.missed import but_missed, let_go
from planner.site_record.rest import Rest, findings_on
from planner.solve.let_go import missed_gaps
from planner.solve.run import solve_job
from tests.jobs import Fields
from tests.site_record.cases import COAT, PRIME, Wall, at, entry, wall, wall_fields


def two_walls(*record: Fields) -> Fields:
    """Return the wall's job with a second wall beside it, of which nothing is recorded."""
    fields = wall_fields(*record)
    fields["elements"].append({**fields["elements"][0], "id": "E2", "name": "Element E2"})
    return fields


def replanned(case: Wall) -> Replanned:
    return replan(case.job, case.weather, case.plan, case.stood.now, trials=3, stood=case.stood, side_by_side=False)


def test_the_rest_of_the_job_is_planned_past_a_missed_gap() -> None:
    """The coat was to go on within 72 h of 09:00 on Monday, and nothing is recorded of it on Thursday at 12:00."""
    fields = two_walls(entry(PRIME, started="07:00", finished="09:00"))
    case = wall(fields=fields, now=at("12:00", 3))
    found = replanned(case)
    [missed] = found.missed
    assert (missed.after, missed.before, missed.shuts) == (PRIME, COAT, at("09:00", 3))
    assert "Abrade and prime again. Record that as done again and plan again" in missed.words
    assert found.best is not None
    assert found.best.plan is not None
    assert len(found.best.plan.visits_of("E2/backfill")) == 1
    assert found.best.plan.visits_of(COAT)[0].start >= case.stood.now
    assert [(one.code, one.place) for one in found.best.standing] == [("gap-late", COAT)]


def test_the_plan_made_past_it_stays_marked_as_broken_there() -> None:
    case = wall(entry(PRIME, started="07:00", finished="09:00"), now=at("12:00", 3))
    best = replanned(case).best
    assert best is not None
    assert best.plan is not None
    broken = [one for one in findings_on(case.job, best.plan, case.auditor) if one.weight is Weight.BREACH]
    assert [(one.code, one.place, one.remedy) for one in broken] == [("gap-late", COAT, "Abrade and prime again.")]


def test_what_an_element_by_itself_can_not_meet_any_more_is_let_go_too() -> None:
    """Primed at 16:30, with a coat that must follow within 6 h: the gang is gone by then, and back too late."""
    fields = wall_fields(entry(PRIME, started="14:30", finished="16:30"))
    curve = fields["products"][0]["curves"]["recoat"]
    curve["not_before"], curve["not_after"] = [[5, 5], [10, 5]], [[5, 6], [10, 6]]
    case = wall(fields=fields, now=at("16:45"))
    [missed] = missed_gaps(case.job, case.weather, case.stood, case.stood.now)
    assert missed.shuts == at("22:30")
    assert replanned(case).best is not None


def test_a_gap_that_can_still_be_met_is_not_let_go() -> None:
    case = wall(entry(PRIME, started="07:00", finished="09:00"), now=at("12:00", 1))
    assert missed_gaps(case.job, case.weather, case.stood, case.stood.now) == ()
    found = replanned(case)
    assert found.missed == ()
    assert found.best is not None
    assert found.best.standing == ()


def test_a_remedy_that_the_job_offers_is_planned_in_place_of_letting_go() -> None:
    fields = wall_fields(entry(PRIME, started="07:00", finished="09:00"))
    work = {"id": "abrade", "name": "Abrade", "skill": "concrete", "hours": 1.0, "cost": 10.0}
    fields["methods"][0]["gaps"][0]["remedy_work"] = work | {"skill": fields["gangs"][0]["skills"][0]}
    case = wall(fields=fields, now=at("12:00", 3))
    assert missed_gaps(case.job, case.weather, case.stood, case.stood.now) == ()


def test_recording_it_done_again_closes_the_matter() -> None:
    record = (
        entry(PRIME, started="07:00", finished="09:00"),
        entry(PRIME, day=3, started="13:00", finished="14:00", visit=2),
    )
    case = wall(*record, now=at("14:15", 3))
    assert missed_gaps(case.job, case.weather, case.stood, case.stood.now) == ()
    best = replanned(case).best
    assert best is not None
    assert best.plan is not None
    assert not any(one.place == COAT for one in findings_on(case.job, best.plan, case.auditor))


@pytest.mark.parametrize("aim", [Aim.FINISH, Aim.COST])
def test_planning_the_rest_anew_goes_on_too(aim: Aim) -> None:
    case = wall(entry(PRIME, started="07:00", finished="09:00"), now=at("12:00", 3))
    rest = Rest(case.stood)
    missed = missed_gaps(case.job, case.weather, case.stood, rest.now)
    job = let_go(case.job, missed)
    found = solve_job(job, case.weather, aim=aim, trials=5, base=rest.base, now=rest.now, begun=rest.begun)
    assert found.plan is not None
    assert rest.unclean(found.plan, case.auditor, missed) == ()
    assert [one.code for one in rest.unclean(found.plan, case.auditor)] == ["gap-late"]
    assert list(but_missed(rest.unclean(found.plan, case.auditor), missed)) == []
