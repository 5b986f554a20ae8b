"""A gap that recorded work missed does not stop all planning: the rest is planned, and people are told to decide."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.findings import Weight
from planner.model import Aim, Placement, Plan, PlanStatus
from planner.replan.replan import Replanned, replan
from planner.site_record.as_stands import as_stands
from planner.site_record.missed import but_missed, let_go
from planner.site_record.rest import Rest, findings_on
from planner.solve.let_go import missed_gaps
from planner.solve.run import solve_job
from planner.units import Slot
from tests.jobs import Fields
from tests.site_record.cases import COAT, DAY, PRIME, Wall, at, entry, wall, wall_fields


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
    words = (
        "Abrade and prime again. Record that as done again and plan again; or add it as work under Remedies in Job"
    )
    assert words in missed.words
    assert found.best is not None
    assert found.best.plan is not None
    assert len(found.best.plan.visits_of("E2/backfill")) == 1
    assert found.best.plan.visits_of(COAT)[0].start >= case.stood.now
    assert [(one.code, one.place) for one in found.best.standing] == [("gap-late", COAT)]


def test_where_no_plan_was_handed_out_a_missed_gap_is_let_go_too() -> None:
    nothing = Plan("", PlanStatus.FEASIBLE, Aim.FINISH, 0.0, 0.0, ())
    case = wall(entry(PRIME, started="07:00", finished="09:00"), now=at("12:00", 3))
    stood = as_stands(case.job, nothing, at("12:00", 3), case.auditor)
    [missed] = missed_gaps(case.job, case.weather, stood, stood.now)
    assert (missed.after, missed.before) == (PRIME, COAT)


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


def test_a_remedy_that_finds_no_place_is_told_and_the_rest_is_planned() -> None:
    fields = two_walls(entry(PRIME, started="07:00", finished="09:00"))
    work = {"id": "abrade", "name": "Abrade", "skill": fields["gangs"][0]["skills"][0], "hours": 1.0}
    fields["methods"][0]["gaps"][0]["remedy_work"] = work | {"conditions": {"air_c": [25, 30]}}  # it is 10 °C
    case = wall(fields=fields, now=at("12:00", 3))
    [missed] = missed_gaps(case.job, case.weather, case.stood, case.stood.now)
    assert missed.before == COAT
    assert missed.words.endswith("The job offers “Abrade” for it, but no plan was found with that.")
    found = replanned(case)
    assert found.best is not None
    assert found.best.plan is not None
    assert len(found.best.plan.visits_of("E2/backfill")) == 1


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


def hours_gap(after: str, before: str, first: float, last: float) -> Fields:
    return {"after": after, "before": before, "not_before_h": first, "not_after_h": last}


def primed(*gaps: Fields) -> Wall:
    """Return the wall, primed from 07:00 to 09:00 on Monday, with these gaps in place of its own, at 09:15."""
    fields = wall_fields(entry(PRIME, started="07:00", finished="09:00"))
    fields["methods"][0]["gaps"] = list(gaps)
    return wall(fields=fields, now=at("09:15"))


def test_of_several_gaps_only_those_are_let_go_that_can_not_be_met() -> None:
    """The coat can follow within 3 h; the backfill can't within 8 h, as it must wait 24 h for the coat."""
    case = primed(
        hours_gap("prime", "coat", 0, 3),
        hours_gap("prime", "backfill", 0, 8),
        {"after": "coat", "before": "backfill", "not_before_h": 24},
    )
    [missed] = missed_gaps(case.job, case.weather, case.stood, case.stood.now)
    assert (missed.after, missed.before) == (PRIME, "E1/backfill")
    assert missed.words.endswith(
        "It has not shut yet, but no plan was found that meets it and what must follow in time."
    )
    best = replanned(case).best
    assert best is not None
    assert best.plan is not None
    assert [one.place for one in best.standing] == ["E1/backfill"]
    assert best.plan.visits_of(COAT)[0].start * 15 <= at("12:00")


def test_a_gap_of_later_work_that_could_be_missed_in_its_place_is_named() -> None:
    """Coat at 14:00 at the earliest, done at 17:00 as the gang leaves: the backfill is then a night too late."""
    case = primed(hours_gap("prime", "coat", 5, 7), hours_gap("coat", "backfill", 0, 1))
    [missed] = missed_gaps(case.job, case.weather, case.stood, case.stood.now)
    assert missed.before == COAT
    assert "only one with “Backfill” too late in its place: the engineer may prefer that." in missed.words


def test_gaps_kept_must_leave_a_plan_for_all_work_together() -> None:
    """At 11:15 the one gang could coat either wall in time (by 12:00, by 14:00), but not both, at 3 h each."""
    fields = two_walls(
        entry(PRIME, started="07:00", finished="09:00"), entry("E2/prime", started="09:00", finished="11:00")
    )
    fields["methods"][0]["gaps"] = [
        hours_gap("prime", "coat", 0, 3),
        hours_gap("prime", "backfill", 0, 8),
        {"after": "coat", "before": "backfill", "not_before_h": 24},
    ]
    one = wall(fields=fields, now=at("11:15"))
    rows = (("E2/prime", 36, 44), ("E2/coat", 68, 80), ("E2/backfill", 4 * DAY + 28, 4 * DAY + 44))
    beside = (Placement(key, 1, "G1", Slot(start), Slot(finish)) for key, start, finish in rows)
    plan = replace(one.plan, placements=(*one.plan.placements, *beside))
    case = replace(one, plan=plan, stood=as_stands(one.job, plan, at("11:15"), one.auditor))
    missed = missed_gaps(case.job, case.weather, case.stood, case.stood.now)
    assert [each.before for each in missed] == [COAT, "E1/backfill", "E2/backfill"]
    best = replanned(case).best
    assert best is not None
    assert best.plan is not None
    assert best.plan.visits_of("E2/coat")[0].start * 15 <= at("14:00")
