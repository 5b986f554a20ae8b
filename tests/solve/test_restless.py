"""What can't stay where it was issued, and what that must change together: more than each part by itself."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from planner.model import Aim, Job, Plan
from planner.network.options import NOTHING_CHOSEN
from planner.problem.issued import Issued
from planner.solve.least_change import WORK_ON_JOINT, _Part
from planner.solve.options import Ways
from planner.solve.restless import restless_elements
from planner.solve.run import solve_job
from planner.units import Slot
from tests import jobs
from tests.audit.feature_job import weather_of
from tests.replan.cold import cold_job, fewest_moved, mild, with_cold
from tests.replan.cold import planned as planned_in_mild


def walls() -> Job:
    fields = jobs.small_fields()
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    return jobs.make_job(fields)


def moved(plan: Plan, key: str, by: int) -> Plan:
    placed = tuple(
        replace(one, start=Slot(one.start + by), finish=Slot(one.finish + by)) if one.operation == key else one
        for one in plan.placements
    )
    return replace(plan, placements=placed)


def restless(job: Job, plan: Plan, air_c: float = 10.0) -> frozenset[str]:
    ways = Ways(job, weather_of(job, {"air_c": air_c}), Issued(plan))
    return restless_elements(ways.workshop(NOTHING_CHOSEN))


def planned(job: Job) -> Plan:
    found = solve_job(job, weather_of(job, {"air_c": 10.0}), seconds=20, trials=20)
    assert found.plan is not None
    return found.plan


def test_where_nothing_is_broken_everything_can_stay() -> None:
    job = walls()
    assert restless(job, planned(job)) == frozenset()


def test_a_gap_that_is_not_met_and_work_out_of_its_shift_are_restless() -> None:
    job = walls()
    plan = planned(job)
    coat = plan.visits_of("E2/coat")[0]
    assert restless(job, moved(plan, "E2/coat", plan.visits_of("E2/prime")[0].finish - coat.start)) == {"E2"}
    assert restless(job, moved(plan, "E1/backfill", 12 * 4)) == {"E1"}  # in the night


@pytest.fixture(scope="module")
def two_walls() -> tuple[Job, Plan]:
    """Return two walls with one gang on short shifts, and their plan in mild weather."""
    job = cold_job(elements=2)
    return job, planned_in_mild(job, mild(job))


def never() -> bool:
    return False


def least(ways: Ways, *elements: str) -> float | None:
    return _Part(ways, frozenset(elements), never, WORK_ON_JOINT).floor(NOTHING_CHOSEN)


@pytest.mark.parametrize("seed", range(24))
def test_restless_is_what_must_change_by_itself(two_walls: tuple[Job, Plan], seed: int) -> None:
    job, plan = two_walls
    ways = Ways(job, with_cold(job, Random(seed)), Issued(plan))
    restless = restless_elements(ways.workshop(NOTHING_CHOSEN))
    assert restless == {one for one in ("E1", "E2") if least(ways, one) != 0}


@pytest.mark.parametrize("seed", [3, 32])
def test_what_clashes_must_change_together_and_no_more_than_the_fewest(
    two_walls: tuple[Job, Plan], seed: int
) -> None:
    """With seed 32 each wall alone would have one operation to move, and for both three are needed: one gang."""
    job, plan = two_walls
    cold = with_cold(job, Random(seed))
    ways = Ways(job, cold, Issued(plan))
    alone = [least(ways, one) or 0.0 for one in ("E1", "E2")]
    together, fewest = least(ways, "E1", "E2"), fewest_moved(job, cold, plan)
    assert together is not None
    assert fewest is not None
    assert sum(alone) <= together <= fewest
    if seed == 32:
        assert sum(alone) < together
    found = solve_job(job, cold, aim=Aim.CHANGE, seconds=20, trials=50, base=plan)
    assert found.plan is not None
    assert (found.plan.value, found.plan.bound) == (fewest, fewest)
