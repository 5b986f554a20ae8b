"""Least change from an issued plan, and work that has started and can't be changed any more.

Two walls of `small_job` (prime 2 h, coat 3 h, backfill 4 h), one gang each, on weekdays 07-17 from Monday 3 June.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest

from planner.audit.check import audit
from planner.audit.compare import compare
from planner.model import Aim, ClosureState, Job, Plan
from planner.solve.run import solve_job
from planner.units import Slot
from tests import jobs
from tests.audit.feature_job import weather_of
from tests.solve.conftest import LoadedJob


def walls() -> Job:
    fields = jobs.small_fields()
    fields["gangs"] = [jobs.gang("G1"), jobs.gang("G2")]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2")]
    return jobs.make_job(fields)


def plan_of(job: Job, **more: object) -> Plan:
    found = solve_job(job, weather_of(job, {}), seconds=20, trials=120, **more)  # type: ignore[arg-type]
    assert found.plan is not None, found.reasons
    assert audit(job, weather_of(job, {}), found.plan) == ()
    return found.plan


def test_nothing_changes_where_nothing_must() -> None:
    job = walls()
    base = plan_of(job)
    plan = plan_of(job, aim=Aim.CHANGE, base=base)
    assert plan.placements == base.placements
    assert (plan.value, plan.bound, plan.status.value) == (0.0, 0.0, "optimal")


def test_only_what_a_day_off_touches_is_moved() -> None:
    """The second gang is off on Monday, so its wall's first coats move a day; the other wall stays."""
    job = walls()
    base = plan_of(job)
    gone = base.visits_of("E2/prime")[0].gang
    gangs = tuple(
        gang.model_copy(update={"days_off": (date(2024, 6, 3),)}) if gang.id == gone else gang for gang in job.gangs
    )
    changed = job.model_copy(update={"gangs": gangs})
    plan = plan_of(changed, aim=Aim.CHANGE, base=base)
    moved = {change.operation for change in compare(base, plan).moved}
    assert plan.value == len(moved)
    assert moved
    assert all(key.startswith("E2/") for key in moved)
    assert plan.bound <= plan.value


def test_what_has_started_stays_and_nothing_else_starts_before_now() -> None:
    job = walls()
    base = plan_of(job)
    late = tuple(
        replace(placed, start=Slot(placed.start + 4), finish=Slot(placed.finish + 4))
        if placed.operation == "E1/prime"
        else placed
        for placed in base.placements
    )
    begun = replace(base, placements=late)
    now = Slot(late[[p.operation for p in late].index("E1/prime")].start + 1)
    found = solve_job(job, weather_of(job, {}), seconds=20, trials=60, base=begun, now=now)
    assert found.plan is not None
    for placed in begun.placements:
        if placed.start < now:
            assert placed in found.plan.placements
    old = {placed.operation for placed in begun.placements if placed.start < now}
    assert all(placed.start >= now for placed in found.plan.placements if placed.operation not in old)


def test_work_under_way_stays_even_where_the_weather_no_longer_allows_it() -> None:
    job = walls()
    base = plan_of(job)
    strict = job.model_copy(
        update={
            "methods": tuple(
                method.model_copy(
                    update={
                        "operations": tuple(
                            one.model_copy(update={"conditions": one.conditions.model_copy(update={"dry": True})})
                            for one in method.operations
                        )
                    }
                )
                for method in job.methods
            )
        }
    )
    wet = weather_of(job, {"rain_mm_h": 0.0})
    rain = wet.rain_mm_h.copy()
    rain[: 8 * 4] = 2.0
    now = Slot(7 * 4 + 1)
    found = solve_job(strict, replace(wet, rain_mm_h=rain), seconds=20, trials=60, base=base, now=now)
    assert found.plan is not None
    assert found.plan.visits_of("E1/prime") == base.visits_of("E1/prime")


def test_least_change_needs_a_plan_to_change() -> None:
    job = walls()
    with pytest.raises(ValueError, match="base"):
        solve_job(job, weather_of(job, {}), aim=Aim.CHANGE)


def test_the_main_job_after_a_closure_is_refused(main_job: LoadedJob) -> None:
    job, weather = main_job.job, main_job.weather
    base = solve_job(job, weather, seconds=60, trials=30).plan
    assert base is not None
    lost = base.visits_of("patch_sb/headers")[0].closure
    closures = tuple(
        closure.model_copy(update={"state": ClosureState.REFUSED}) if closure.id == lost else closure
        for closure in job.closures
    )
    changed = job.model_copy(update={"closures": closures})
    now = Slot(job.time.slot_of(job.time.wall(datetime.combine(date(2027, 3, 23), time(6)))))
    found = solve_job(changed, weather, aim=Aim.CHANGE, seconds=10, trials=60, base=base, now=now)
    assert found.plan is not None, found.reasons
    assert audit(changed, weather, found.plan) == ()
    change = compare(base, found.plan)
    assert found.plan.value == len(change.moved) + len(change.appeared) + len(change.vanished)
    assert change.stayed > len(change.moved)
