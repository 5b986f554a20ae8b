"""Alternatives and remedies: chosen where they pay, named in the plan, and clean by the audit's own statement.

The job: one wall in steady weather (see `choosing`), where by hand::

    slow 2 h, then 30 h (10 h with the rapid product, 4 h at 30 °C in an enclosure), then cover 1 h
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.audit.terms import plan_terms
from planner.errors import NetworkError
from planner.model import Aim, Job, Plan, Remedy
from planner.network.options import as_chosen, chosen_in, options_of
from planner.network.work import write_out
from planner.solve.run import Outcome, solve_job
from planner.units import Slot
from tests import jobs
from tests.audit.feature_job import weather_of

SLOW = {"not_before": [[10, 30], [30, 4]], "not_after": [[10, 200], [30, 60]]}
RAPID = {"not_before": [[10, 10], [30, 2]], "not_after": [[10, 200], [30, 60]]}
RAPID_WAY = {"id": "rapid", "name": "Rapid grade", "product": "rapid", "cost": 50.0}
TENT_WAY = {"id": "tent", "name": "Tent", "enclosure": {"surface_c": 30}, "cost": 400.0}


def choosing(*ways: dict[str, Any], prelims: float = 100.0, **more: Any) -> Job:
    """Return a wall of two operations, the first with these alternatives, one gang around the clock."""
    fields = jobs.small_fields()
    fields["job"]["prelims_per_day"] = prelims
    fields["gangs"] = [jobs.gang(shifts=[{"name": "All", "rule": "FREQ=DAILY", "start": "00:00", "finish": "00:00"}])]
    fields["products"] = [
        {"id": "slow", "name": "Slow", "curves": {"recoat": SLOW}},
        {"id": "rapid", "name": "Rapid", "curves": {"recoat": RAPID}},
    ]
    first = jobs.operation("coat", 2.0, product="slow", alternatives=list(ways))
    gap = {"after": "coat", "before": "cover", "product": "slow", "curve": "recoat"}
    fields["methods"] = [jobs.method(first, jobs.operation("cover", 1.0), gaps=[gap])]
    return jobs.make_job({**fields, **more})


def solved(job: Job, aim: Aim = Aim.FINISH, air_c: float = 10.0) -> Outcome:
    return solve_job(job, weather_of(job, {"air_c": air_c}), aim=aim, seconds=20, trials=300)


def clean(job: Job, outcome: Outcome, air_c: float = 10.0) -> Plan:
    assert outcome.plan is not None, outcome.reasons
    assert audit(job, weather_of(job, {"air_c": air_c}), outcome.plan) == ()
    return outcome.plan


def hours(plan: Plan) -> float:
    return plan.finish / 4


@pytest.mark.parametrize(
    ("ways", "finish_h", "way"), [((), 33, None), ((RAPID_WAY,), 13, "rapid"), ((RAPID_WAY, TENT_WAY), 7, "tent")]
)
def test_the_finish_takes_the_fastest_way(ways: tuple[dict[str, Any], ...], finish_h: float, way: str | None) -> None:
    job = choosing(*ways)
    plan = clean(job, solved(job))
    assert hours(plan) == finish_h
    assert plan.visits_of("E1/coat")[0].alternative == way
    assert plan.status.value == "optimal"


@pytest.mark.parametrize(("prelims", "way", "cost"), [(40.0, None, 80.0), (100.0, "rapid", 150.0)])
def test_the_cost_takes_a_way_only_where_it_pays(prelims: float, way: str | None, cost: float) -> None:
    """By hand: two days of prelims as it stands, one with the rapid grade at 50 more; the tent at 400 never pays."""
    job = choosing(RAPID_WAY, TENT_WAY, prelims=prelims)
    plan = clean(job, solved(job, Aim.COST))
    assert (plan.visits_of("E1/coat")[0].alternative, plan.value) == (way, cost)
    terms = plan_terms(job, weather_of(job, {"air_c": 10.0}), plan)
    assert terms.alternative_cost == (50.0 if way else 0.0)


def test_a_way_that_saves_is_taken_where_the_finish_allows() -> None:
    job = choosing({"id": "plain", "name": "Plain", "product": "rapid", "cost": -20.0})
    plan = clean(job, solved(job, Aim.COST))
    assert plan.visits_of("E1/coat")[0].alternative == "plain"
    assert plan.bound <= plan.value == 80.0


def test_a_job_that_holds_only_with_an_alternative_is_planned_with_it() -> None:
    cold = {"not_before": [[10, 30], [30, 4]]}
    fields = {"products": [{"id": "slow", "name": "Slow", "curves": {"recoat": cold}}]}
    job = choosing(TENT_WAY, **fields)
    plan = clean(job, solved(job, air_c=2.0), air_c=2.0)
    assert plan.visits_of("E1/coat")[0].alternative == "tent"


def test_an_enclosure_shelters_what_it_covers_from_rain_and_cold() -> None:
    strict = {"surface_c": [15, 35], "dry": True, "air_c": [5, 40]}
    tent = {**TENT_WAY, "enclosure": {"surface_c": 30, "covers": ["cover"]}}
    job = choosing(tent)
    fields = job.model_dump()
    for operation in fields["methods"][0]["operations"]:
        operation["conditions"] = strict
    job = jobs.make_job(fields)
    weather = weather_of(job, {"air_c": 2.0, "rain_mm_h": 1.0})
    found = solve_job(job, weather, seconds=20, trials=100)
    assert found.plan is not None
    assert audit(job, weather, found.plan) == ()
    assert hours(found.plan) == 7


def test_an_alternative_that_the_job_offers_is_for_its_elements_only() -> None:
    offer = {**RAPID_WAY, "elements": ["E2"], "operation": "coat"}
    job = choosing(alternatives=[offer], elements=[jobs.element("E1"), jobs.element("E2")])
    assert [(option.key, option.choice) for option in options_of(job)] == [("E2/coat", "rapid")]
    settled = as_chosen(job, {"E2/coat": "rapid"})
    assert [settled.method(e.method).operations[0].product for e in settled.elements] == ["slow", "rapid"]
    assert {gap.element: gap.product for gap in write_out(job, {"E2/coat": "rapid"}).gaps} == {
        "E1": "slow",
        "E2": "rapid",
    }


def test_what_is_not_offered_cannot_be_chosen() -> None:
    with pytest.raises(KeyError, match="glue"):
        as_chosen(choosing(RAPID_WAY), {"E1/coat": "glue"})


# --- Remedies -----------------------------------------------------------------------------------------------------

REPRIME = {"id": "reprime", "name": "Prime again", "skill": "coat", "hours": 1.0, "cost": 30.0}


def missing(**more: Any) -> Job:
    """Return a wall whose gap, 2 to 20 h, is missed: its second coat may only go on from 12 to 17 on weekdays.

    The first coat takes 6 h of a gang that works Monday morning alone, so the second comes on Tuesday at the
    earliest, more than 20 h after. Its remedy takes 1 h, then the thin product waits 2 h at 10 °C.
    """
    fields = jobs.small_fields()
    morning = {"name": "Mon", "rule": "FREQ=WEEKLY;BYDAY=MO", "start": "06:00", "finish": "12:00"}
    late = {"name": "Late", "rule": "FREQ=WEEKLY;BYDAY=TU,WE,TH", "start": "12:00", "finish": "17:00"}
    fields["gangs"] = [jobs.gang("G1", shifts=[morning]), jobs.gang("G2", skills=["late"], shifts=[late])]
    fields["products"] = [
        {"id": "thick", "name": "Thick", "curves": {"on": {"not_before": [[10, 2]], "not_after": [[10, 20]]}}},
        {"id": "thin", "name": "Thin", "curves": {"on": {"not_before": [[10, 2]], "not_after": [[10, 9]]}}},
    ]
    remedy = {**REPRIME, "skill": "late", "product": "thin", "curve": "on"}
    gap = {"after": "one", "before": "two", "product": "thick", "curve": "on", "remedy_work": remedy}
    operations = (jobs.operation("one", 6.0), jobs.operation("two", 1.0, skill="late"))
    fields["methods"] = [jobs.method(*operations, gaps=[gap])]
    return jobs.make_job({**fields, **more})


def test_a_missed_gap_is_mended_by_its_remedy() -> None:
    """By hand: Tuesday 12 prime again, 13 + 2 h = 15 the second coat, done at 16."""
    job = missing()
    plan = clean(job, solved(job))
    at = {placed.operation: placed.start / 4 - 24 for placed in plan.placements}
    assert at["E1/reprime"] == 12
    assert at["E1/two"] == 15
    terms = plan_terms(job, weather_of(job, {"air_c": 10.0}), plan)
    assert terms.remedy_cost == 30.0
    assert chosen_in(job, plan) == {"E1/reprime": "remedy"}
    keys = [row.key for row in gap_rows(job, weather_of(job, {"air_c": 10.0}), plan)]
    assert keys == ["E1/one > E1/reprime", "E1/reprime > E1/two"]


def renewing() -> Job:
    """Return that wall with a remedy that does the first coat's work again, so that its own gap counts anew."""
    fields = missing().model_dump(mode="json", exclude_defaults=True, exclude={"products"})
    gap = fields["methods"][0]["gaps"][0]
    gap["remedy_work"] = {**REPRIME, "skill": "late", "renews": True}
    return missing(methods=fields["methods"])


def test_a_remedy_that_renews_the_gap_lets_it_shut_again() -> None:
    """By hand: Tuesday 12 again, 13 + 2 h = 15 the second coat; on Wednesday at 12 it would be 23 h, more than 20."""
    job = renewing()
    plan = clean(job, solved(job))
    at = {placed.operation: placed.start / 4 - 24 for placed in plan.placements}
    assert (at["E1/reprime"], at["E1/two"]) == (12, 15)
    [_, renewed] = gap_rows(job, weather_of(job, {"air_c": 10.0}), plan)
    assert renewed.key == "E1/reprime > E1/two"
    assert (renewed.opens, renewed.shuts) == (96 + 15 * 4, 96 + (13 + 20) * 4)
    late = tuple(
        replace(one, start=Slot(one.start + 21 * 4), finish=Slot(one.finish + 21 * 4))
        if one.operation == "E1/two"
        else one
        for one in plan.placements
    )
    found = audit(job, weather_of(job, {"air_c": 10.0}), replace(plan, placements=late))
    assert "gap-late" in {one.code for one in found}


def test_a_remedy_renews_the_gap_or_brings_a_curve_not_both() -> None:
    with pytest.raises(ValueError, match="renews or curve"):
        Remedy(id="again", name="Again", skill="late", hours=1.0, product="thin", curve="on", renews=True)


def test_a_gap_that_can_be_met_needs_no_remedy() -> None:
    always = [{"name": "All", "rule": "FREQ=DAILY", "start": "00:00", "finish": "00:00"}]
    gangs = [jobs.gang("G1", shifts=always), jobs.gang("G2", skills=["late"], shifts=always)]
    job = missing(gangs=gangs)
    plan = clean(job, solved(job))
    assert {placed.operation for placed in plan.placements} == {"E1/one", "E1/two"}
    assert hours(plan) == 9


def test_without_the_remedy_the_audit_finds_the_gap_missed() -> None:
    job = missing()
    plan = clean(job, solved(job))
    left = tuple(placed for placed in plan.placements if placed.operation != "E1/reprime")
    bare = Plan(plan.job, plan.status, plan.aim, plan.value, plan.bound, left)
    assert "gap-late" in {finding.code for finding in audit(job, weather_of(job, {"air_c": 10.0}), bare)}


# --- Plates -------------------------------------------------------------------------------------------------------


def plated(stretch: bool) -> Job:
    """Return a joint of 3 + 3 h, two nights of 6 h 45 min between the cones; the mortar is fit after 5 h at 10 °C.

    In one night it is never fit in time: 3 + 3 + 5 h. Plated over, the saw goes in one and the header in the next.
    """
    fields = jobs.road_fields()
    plating = {"id": "plates", "name": "Plates", "plating": {"stretch": "open joint"}, "cost": 900.0}
    saw = jobs.operation("saw", 3.0, lanes_shut=True, alternatives=[plating] if stretch else [])
    fit = {"after": "header", "product": "mortar", "curve": "traffic"}
    header = jobs.operation("header", 0.5, lanes_shut=True)
    exposed = [{"name": "open joint", "first": "saw", "last": "header", "fit": [fit]}]
    fields["methods"] = [jobs.method(saw, header, exposed=exposed)]
    return jobs.make_job(fields)


def test_a_lane_plated_over_reopens_between_two_nights() -> None:
    with pytest.raises(NetworkError) as caught:
        solved(plated(False))
    assert "stretch-too-long" in [one.code for one in caught.value.findings]
    job = plated(True)
    plan = clean(job, solved(job))
    assert plan.closures_used == ("C1", "C2")
    assert plan.visits_of("E1/saw")[0].alternative == "plates"


def test_work_under_plates_keeps_clear_of_their_lifting() -> None:
    job = plated(True)
    plan = clean(job, solved(job))
    opens = job.time.slot_of(job.time.wall(job.closure("C2").start) + timedelta(minutes=45 + 30))
    header = plan.visits_of("E1/header")[0]
    assert header.start == opens
    early = tuple(
        type(placed)(**{**vars(placed), "start": placed.start - 1, "finish": placed.finish - 1})
        if placed is header
        else placed
        for placed in plan.placements
    )
    moved = Plan(plan.job, plan.status, plan.aim, plan.value, plan.bound, early)
    assert "plates-down" in {finding.code for finding in audit(job, weather_of(job, {"air_c": 10.0}), moved)}


def test_a_mix_of_choices_is_found_where_neither_all_first_nor_all_second_can_hold() -> None:
    """E1 can be done only by its second other way, E2 only by its first: the network of every other mix breaks."""
    fields = jobs.small_fields()
    fields["gangs"] = [jobs.gang("G1")]
    long, short = 14.0, 2.0
    fields["methods"] = [jobs.method(jobs.operation("work", long))]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]

    def way(element: str, id: str, hours: float) -> dict[str, Any]:
        return {"elements": [element], "operation": "work", "id": id, "name": id, "hours": hours, "cost": 1.0}

    fields["alternatives"] = [
        way("E1", "slow", long - 1),
        way("E1", "quick", short),
        way("E2", "quick", short),
        way("E2", "slow", long - 1),
    ]
    job = jobs.make_job(fields)
    weather = weather_of(job, {})
    found = solve_job(job, weather, seconds=20, trials=60)
    assert found.plan is not None
    assert {one.alternative for one in found.plan.placements} == {"quick"}
    assert audit(job, weather, found.plan) == ()
