"""Each way out keeps to what it says, and its figures are those of the plan that is written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from planner.audit.check import audit
from planner.audit.terms import plan_terms
from planner.cli.replan import why_not_lines
from planner.findings import Weight
from planner.jobfile.load import load_job
from planner.jobfile.planfile import read_plan, write_plan
from planner.model import Plan
from planner.network.options import chosen_in, options_of
from planner.replan.replan import Answered, Replanned, at_least, by_any_means, replan
from planner.replan.ways_out import ANY_WAY, MEND, PRODUCT, SWAP, TENT, WAIT
from planner.solve.run import solve_job
from tests.audit.feature_job import weather_of
from tests.replan.cold import planned, road_with_rapid
from tests.solve.conftest import SAMPLES, LoadedJob, main_job

__all__ = ["main_job"]

NOON = 17 * 96 + 48
"""Thursday 8 April, noon or so."""
THAW = SAMPLES / "weather/harrow_beck_late_thaw.csv"


@pytest.fixture(scope="module")
def frost(main_job: LoadedJob) -> tuple[LoadedJob, Plan, Replanned]:
    """Return the main job on the frost, the plan from before, and what came of replanning it."""
    old = solve_job(main_job.job, main_job.weather, seconds=60, trials=30).plan
    assert old is not None
    cold = load_job(main_job.path, THAW)
    return cold, old, replan(cold.job, cold.weather, old, NOON, seconds=0.5)


def test_every_kind_of_way_out_is_there_or_says_why_it_cannot_help(frost: tuple[LoadedJob, Plan, Replanned]) -> None:
    cold, _, found = frost
    words = [one.words for one in (*(answer.way for answer in found.answers), *found.closed)]
    for kind in ("the least change", "wait", "swap", TENT, PRODUCT, MEND, "closure"):
        assert any(kind in one for one in words), kind
    offered = {option.name for option in options_of(cold.job) if "/" in option.key}
    assert all(any(name in one for one in words) for name in offered)
    assert all(one.why for one in found.closed)


def test_the_figures_are_those_of_the_written_plan(frost: tuple[LoadedJob, Plan, Replanned], tmp_path: Path) -> None:
    cold, old, found = frost
    assert sum(one.plan is not None for one in found.answers) >= 4
    for one in found.answers:
        if one.plan is None or one.terms is None:
            continue
        write_plan(tmp_path / "way.json", one.plan, cold.job)
        plan = read_plan(tmp_path / "way.json", cold.job)
        terms = plan_terms(cold.job, cold.weather, plan)
        assert (one.terms.closures, one.terms.cost) == (terms.closures, pytest.approx(terms.cost))
        assert one.terms.closures == len({placed.closure for placed in plan.placements if placed.closure})
        assert round(one.terms.finish_days * 96) == max(placed.finish for placed in plan.placements)
        assert one.changed == _moved(old, plan)
        breaches = [each for each in audit(one.way.job, cold.weather, plan) if each.weight is Weight.BREACH]
        assert all(each.place in found.fixed for each in breaches)


def test_each_way_changes_nothing_but_what_it_means(frost: tuple[LoadedJob, Plan, Replanned]) -> None:
    cold, old, found = frost
    was = dict(chosen_in(cold.job, old))
    for one in found.answers:
        if one.plan is None or one.way.name == ANY_WAY or one.way.given_back is not None:
            continue
        now = dict(chosen_in(cold.job, one.plan))
        turned = {key for key in {*was, *now} if was.get(key) != now.get(key)}
        if one.way.name in (WAIT, SWAP):
            assert turned == set()
        else:
            meant = one.way.name.removeprefix("without ")
            assert all(meant in (was.get(key), now.get(key)) for key in turned), one.way.name
        if one.way.name == WAIT:
            _only_waits(old, one, found.fixed)
    for one in found.answers:
        if one.way.given_back is not None and one.plan is not None:
            assert one.way.given_back not in one.plan.closures_used


def test_what_the_plan_has_can_be_given_up_and_is_not_offered_again() -> None:
    """The header was planned with the rapid mortar: the usual one is a way out now, and rapid is none any more."""
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 3.0}))
    assert old.visits_of("E1/header")[0].alternative == "rapid"
    wet = weather_of(job, {"air_c": 3.0, "rain_mm_h": 0.0})
    found = replan(job, wet, old, seconds=5, trials=300)
    assert found.closed == ()
    refused = job.model_copy(
        update={"gangs": tuple(gang.model_copy(update={"days_off": (job.job.first_day,)}) for gang in job.gangs)}
    )
    broken = replan(refused, wet, old, 0, seconds=5, trials=300)
    assert "without rapid" in [one.way.name for one in broken.answers]
    assert [one.why for one in broken.closed if "Rapid" in one.words] == [
        "already in the plan wherever it is still open"
    ]
    assert {one.words for one in broken.closed} >= {TENT, MEND}


def test_a_way_without_a_plan_says_why() -> None:
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 15.0}))
    found = replan(job, weather_of(job, {"air_c": 3.0}), old, seconds=5, trials=300)
    head, *lines = why_not_lines(found)
    assert head == "No plan this way:"
    wait, *others = [number for number, line in enumerate(lines) if not line.startswith("    ")]
    assert lines[wait].startswith("  wait: nothing earlier, the same gangs: No plan ")
    reasons = found.answers[1].reasons
    assert len(reasons) > 1
    assert [line.strip() for line in lines[wait + 1 : others[0]]] == list(reasons[1:])
    assert any("fit for traffic" in line for line in lines)
    assert lines[others[0]] == (
        "  swap: other times, gangs and closures: the same reasons as for “wait: nothing earlier, the same gangs”"
    )


def test_what_one_way_found_is_open_to_that_by_any_means() -> None:
    """As if the search by any means had found nothing but giving the closure back, which changes more."""
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 15.0}))
    found = replan(job, weather_of(job, {"air_c": 3.0}), old, seconds=5, trials=300)
    answers = {one.way.name: one for one in found.answers}
    back, rapid = answers["without C1"], answers["rapid"]
    assert back.plan is not None
    assert rapid.plan is not None
    assert rapid.changed < back.changed
    assert by_any_means(found) is None
    worse = replace(back, way=found.answers[0].way, plan=replace(back.plan, bound=1.0), proved=False)
    better = by_any_means(replace(found, answers=(worse, *found.answers[1:])))
    assert better is not None
    assert better.plan is not None
    assert (better.way.name, better.changed, better.proved) == (ANY_WAY, rapid.changed, True)
    assert better.plan.placements == rapid.plan.placements
    none = replace(worse, plan=None, change=None, terms=None)
    unsure = by_any_means(replace(found, answers=(none, *found.answers[1:])))
    assert unsure is not None
    assert (unsure.changed, unsure.proved) == (rapid.changed, False)


def test_more_to_choose_from_makes_no_answer_worse() -> None:
    """As if the search by the product had found a plan of more change than waiting, or none."""
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 15.0}))
    found = replan(job, weather_of(job, {"air_c": 3.0}), old, seconds=5, trials=300)
    answers = {one.way.name: one for one in found.answers}
    rapid, wait = answers["rapid"], answers[WAIT]
    assert rapid.plan is not None
    assert rapid.change is not None
    assert rapid.way.allows(wait.way)
    assert not wait.way.allows(rapid.way)
    assert not answers["without C1"].way.allows(wait.way)
    waited = replace(rapid, way=wait.way)
    worse = replace(rapid, change=replace(rapid.change, moved=rapid.change.moved * 9))
    for one in (worse, replace(worse, plan=None, change=None, terms=None)):
        better = at_least(one, (answers[ANY_WAY], waited))
        assert (better.way.name, better.changed) == ("rapid", rapid.changed)
    assert at_least(rapid, (waited,)) is rapid
    assert at_least(replace(worse, way=wait.way), (rapid,)).changed == worse.changed


def _moved(old: Plan, new: Plan) -> int:
    """Return how many operations stand otherwise, told apart by all that a visit says."""

    def rows(plan: Plan) -> dict[str, set[tuple[object, ...]]]:
        found: dict[str, set[tuple[object, ...]]] = {}
        for one in plan.placements:
            visit = (one.visit, one.gang, one.start, one.finish, one.closure, one.alternative)
            found.setdefault(one.operation, set()).add(visit)
        return found

    before, after = rows(old), rows(new)
    return sum(before.get(key) != after.get(key) for key in {*before, *after})


def _only_waits(old: Plan, one: Answered, fixed: frozenset[str]) -> None:
    assert one.plan is not None
    for placed in one.plan.placements:
        if placed.operation not in fixed:
            before = old.visits_of(placed.operation)
            assert placed.start >= before[0].start
            assert placed.gang in {visit.gang for visit in before}
