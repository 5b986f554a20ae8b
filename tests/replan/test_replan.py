"""Planning again from now: the least change, and nothing done or under way moves."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.findings import Weight
from planner.jobfile.load import load_job
from planner.model import ClosureState
from planner.replan.breaks import breaks
from planner.replan.least import Hung
from planner.replan.replan import NEAR_SLOTS, replan
from planner.replan.ways_out import ANY_WAY, SWAP, WAIT
from planner.solve.run import solve_job
from planner.units import Slot
from tests.audit.feature_job import weather_of
from tests.replan.cold import cold_job, fewest_moved, mild, planned, road_with_rapid, with_cold
from tests.solve.conftest import SAMPLES, LoadedJob, main_job

__all__ = ["main_job"]

THAW = SAMPLES / "weather/harrow_beck_late_thaw.csv"


@pytest.mark.parametrize("seed", range(12))
def test_no_fewer_operations_could_move(seed: int) -> None:
    job = cold_job()
    old = planned(job, mild(job))
    cold = with_cold(job, Random(seed))
    found = replan(job, cold, old, seconds=20, trials=1000)
    fewest = fewest_moved(job, cold, old)
    assert (found.best is None) == (fewest is None)
    if found.best is not None:
        assert found.best.changed == fewest
        assert found.best.plan is not None
        assert found.best.plan.bound <= fewest


@pytest.mark.parametrize(("quarter", "length"), [(1, 3), (1, 8), (1, 96), (3, 11), (2, 192)])
def test_nor_where_the_first_break_is_days_ahead(quarter: int, length: int) -> None:
    """The least change is first looked for close to the break: what is earlier is then tried too."""
    job = cold_job()
    old = planned(job, mild(job))
    seal = old.visits_of("E1/seal")[0]
    surface = np.full(job.time.horizon + 1, 15.0)
    surface[seal.start + quarter : seal.start + quarter + length] = 3.0
    cold = weather_of(job, {"surface_c": surface})
    found = replan(job, cold, old, seconds=20, trials=1000)
    assert found.breaks[0].happens is not None
    assert found.breaks[0].happens - NEAR_SLOTS > found.now
    fewest = fewest_moved(job, cold, old)
    assert (found.best is None) == (fewest is None)
    if found.best is not None:
        assert found.best.plan is not None
        assert (found.best.changed, found.best.proved) == (fewest, True)
        assert found.best.plan.bound == fewest


@pytest.mark.parametrize("seed", range(6))
def test_with_two_walls_and_one_gang_no_fewer_could_move_either(seed: int) -> None:
    job = cold_job(elements=2)
    old = planned(job, mild(job))
    cold = with_cold(job, Random(seed))
    found = replan(job, cold, old, seconds=30, trials=3000)
    fewest = fewest_moved(job, cold, old)
    assert (found.best is None) == (fewest is None)
    if found.best is not None:
        assert found.best.changed == fewest
        assert found.best.plan is not None
        assert found.best.plan.bound <= fewest


@pytest.mark.parametrize("seed", range(8))
def test_with_another_product_to_choose_no_fewer_could_move_and_that_is_proved(seed: int) -> None:
    job = cold_job(winter=True)
    old = planned(job, mild(job))
    cold = with_cold(job, Random(seed))
    found = replan(job, cold, old, seconds=20, trials=1000, side_by_side=False)
    fewest = fewest_moved(job, cold, old)
    assert (found.best is None) == (fewest is None)
    if found.best is not None:
        assert found.best.changed == fewest
        assert found.best.proved


@pytest.mark.parametrize("seed", range(10))
def test_the_bound_on_changes_is_never_above_the_fewest(seed: int) -> None:
    job = cold_job()
    old = planned(job, mild(job))
    cold = with_cold(job, Random(seed))
    found = breaks(job, cold, old)
    least = Hung(job, old, found, gap_rows(job, cold, old), frozenset()).least_changed()
    fewest = fewest_moved(job, cold, old)
    assert (least > 0) == bool(found)
    assert fewest is None or least <= fewest


def test_work_in_a_closure_that_is_given_back_must_change() -> None:
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 15.0}))
    hung = Hung(job, old, (), (), frozenset())
    assert hung.least_changed() == 0
    assert hung.least_changed("C1") == len({placed.operation for placed in old.placements})


def test_the_same_forecast_moves_nothing() -> None:
    job = cold_job(elements=2)
    weather = mild(job)
    old = planned(job, weather)
    found = replan(job, weather, old, seconds=20, trials=1000)
    assert found.breaks == ()
    assert [one.way.name for one in found.answers] == [ANY_WAY]
    best = found.best
    assert best is not None
    assert best.plan is not None
    assert best.plan.placements == old.placements
    assert (best.changed, best.proved) == (0, True)


def test_the_main_job_when_the_frost_stays(main_job: LoadedJob) -> None:
    """Every operation begun by Thursday noon stays, and the rest is audited clean under the cold forecast."""
    job = main_job.job
    old = solve_job(job, main_job.weather, seconds=60, trials=30).plan
    assert old is not None
    cold = load_job(main_job.path, THAW).weather
    begun = sorted({placed.operation for placed in old.placements if placed.start < 17 * 96 + 48})
    found = replan(job, cold, old, 17 * 96 + 48, seconds=60, trials=40, side_by_side=False)
    assert sorted(found.fixed) == begun
    best = found.best
    assert best is not None, found.answers
    assert best.plan is not None
    for key in begun:
        assert best.plan.visits_of(key) == old.visits_of(key)
    assert {placed.operation for placed in best.plan.placements if placed.start < found.now} == set(begun)
    breaches = [one for one in audit(job, cold, best.plan) if one.weight is Weight.BREACH]
    assert all(one.place in found.fixed for one in breaches)
    assert tuple(breaches) == best.standing
    assert best.proved
    assert best.plan.bound == best.changed


def test_the_main_job_stays_under_the_forecast_that_it_was_planned_on(main_job: LoadedJob) -> None:
    old = solve_job(main_job.job, main_job.weather, seconds=60, trials=30).plan
    assert old is not None
    found = replan(main_job.job, main_job.weather, old, 12 * 96, seconds=60, trials=30)
    assert found.breaks == ()
    assert found.best is not None
    assert found.best.changed == 0


def test_a_break_of_work_under_way_is_left_standing_and_told() -> None:
    """Prime is under way at 08:00 on the first day when the hour turns out cold: it stays, and so does its breach."""
    job = cold_job()
    old = planned(job, mild(job))
    surface = mild(job).air_c.copy()
    surface[33:36] = 3.0
    cold = weather_of(job, {"surface_c": surface})
    prime = old.visits_of("E1/prime")[0]
    assert prime.start == 32
    found = replan(job, cold, old, 33, seconds=20, trials=1000)
    assert found.best is not None
    assert [(one.code, one.place) for one in found.best.standing] == [("surface-cold", "E1/prime")]
    assert found.breaks[-1].is_fixed


def test_no_plan_comes_with_reasons() -> None:
    job = cold_job()
    old = planned(job, mild(job))
    found = replan(job, weather_of(job, {"surface_c": 3.0}), old, seconds=20, trials=1000)
    assert found.best is None
    assert all(one.reasons and one.plan is None for one in found.answers)


def test_reasons_name_what_is_done_and_from_when_the_rest_is_planned() -> None:
    job = cold_job()
    old = planned(job, mild(job))
    surface = mild(job).air_c.copy()
    surface[40:] = 3.0
    found = replan(job, weather_of(job, {"surface_c": surface}), old, 33, seconds=20, trials=1000)
    assert old.visits_of("E1/prime")[0].start == 32
    reasons = found.answers[0].reasons
    assert "Done or under way, and left as it is: “Prime” (Element E1) from Mon 3 Jun 08:00" in reasons
    assert "Nothing else starts before Mon 3 Jun 08:15" in reasons


def test_each_way_out_is_a_plan_of_its_own_that_passes_its_audit() -> None:
    """The night's cold mortar is not fit by the morning: wait, place the rapid one, or give the closure back."""
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 15.0}))
    assert old.closures_used == ("C1",)
    cold = weather_of(job, {"air_c": 3.0})
    found = replan(job, cold, old, seconds=20, trials=1000)
    answers = {one.way.name: one for one in found.answers}
    assert list(answers) == [ANY_WAY, WAIT, SWAP, "rapid", "without C1"]
    assert answers[WAIT].plan is None
    assert answers[SWAP].plan is None
    rapid = answers["rapid"]
    assert rapid.plan is not None
    assert rapid.plan.visits_of("E1/header")[0].alternative == "rapid"
    assert (rapid.changed, rapid.plan.closures_used) == (1, ("C1",))
    back = answers["without C1"]
    assert back.plan is not None
    assert back.plan.closures_used == ("C2",)
    for one in answers.values():
        assert one.plan is None or audit(one.way.job, cold, one.plan) == ()


def test_a_closure_that_work_has_begun_in_is_not_given_back() -> None:
    job = road_with_rapid()
    old = planned(job, weather_of(job, {"air_c": 15.0}))
    cold = weather_of(job, {"air_c": 3.0})
    now = Slot(old.visits_of("E1/saw")[0].start + 1)
    found = replan(job, cold, old, now, seconds=20, trials=1000)
    assert [one.way.name for one in found.answers] == [ANY_WAY, WAIT, SWAP, "rapid"]
    refused = job.model_copy(
        update={"closures": tuple(one.model_copy(update={"state": ClosureState.REFUSED}) for one in job.closures)}
    )
    names = [one.way.name for one in replan(refused, cold, old, seconds=20, trials=1000).answers]
    assert "without C1" not in names


def test_the_old_plan_is_left_as_it_was() -> None:
    job = cold_job()
    old = planned(job, mild(job))
    copy = replace(old)
    replan(job, with_cold(job, Random(1)), old, seconds=20, trials=1000)
    assert old == copy
