"""The main sample job from file to audited plan, on its own forecast and on a real station-year."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.jobfile.load import LoadedJob, load_job
from planner.model import Aim, Plan
from planner.solve.run import Outcome, SolveListener, solve_job
from tests.weather.tmy3 import write_hourly_csv


def plan_of(loaded: LoadedJob, aim: Aim = Aim.FINISH, trials: int = 40) -> Plan:
    found = solve_job(loaded.job, loaded.weather, aim=aim, seconds=60, trials=trials)
    assert found.plan is not None, found.reasons
    return found.plan


@pytest.mark.parametrize("aim", [Aim.FINISH, Aim.CLOSURES, Aim.COST])
def test_the_plan_is_audited_clean_whatever_the_aim(main_job: LoadedJob, aim: Aim) -> None:
    plan = plan_of(main_job, aim)
    assert audit(main_job.job, main_job.weather, plan) == ()
    assert plan.bound <= plan.value


def test_each_aim_is_at_least_as_good_at_its_own_figure(main_job: LoadedJob) -> None:
    finish, closures, cost = (plan_of(main_job, aim, trials=200) for aim in (Aim.FINISH, Aim.CLOSURES, Aim.COST))
    assert finish.finish <= min(closures.finish, cost.finish)
    assert len(closures.closures_used) <= min(len(finish.closures_used), len(cost.closures_used))


def test_every_gap_of_every_method_is_inside_its_window(main_job: LoadedJob) -> None:
    rows = gap_rows(main_job.job, main_job.weather, plan_of(main_job))
    methods = {main_job.job.element(row.before.split("/")[0]).method for row in rows}
    assert methods == {
        "bearing_shelf",
        "buried_coating",
        "deck_waterproofing",
        "expansion_joint",
        "jacket",
        "kerb",
    }
    for row in rows:
        assert row.opens is not None
        assert row.opens <= row.planned
        assert row.shuts is None or row.planned <= row.shuts


def test_plans_on_five_spring_weeks_of_a_real_station_year(main_job: LoadedJob, tmp_path: Path) -> None:
    """Weather: TMY3 723170 (Wilcox & Marion 2008, NREL/TP-581-43156), as shipped by the pvlib package."""
    job = main_job.job
    real = write_hourly_csv(tmp_path / "tmy3.csv", job.job.first_day, job.job.days, job.time.zone)
    loaded = load_job(main_job.path, weather=real)
    assert float(abs(loaded.weather.air_c - main_job.weather.air_c).max()) > 5
    assert audit(loaded.job, loaded.weather, plan_of(loaded)) == ()


def test_same_seed_and_trials_give_the_same_plan(main_job: LoadedJob) -> None:
    assert plan_of(main_job, Aim.COST).placements == plan_of(main_job, Aim.COST).placements


def test_each_better_plan_told_is_better_and_the_last_is_the_answer(main_job: LoadedJob) -> None:
    told: list[Plan] = []

    class Teller(SolveListener):
        def on_better(self, plan: Plan, seconds: float) -> None:
            told.append(plan)

    found: Outcome = solve_job(
        main_job.job, main_job.weather, aim=Aim.COST, seconds=60, trials=150, listener=Teller()
    )
    values = [plan.value for plan in told]
    assert values == sorted(values, reverse=True)
    assert found.plan == told[-1]


def test_stop_is_heeded_at_once_and_keeps_the_first_plan(main_job: LoadedJob) -> None:
    found = solve_job(main_job.job, main_job.weather, seconds=60, stop=lambda: True)
    assert found.tried == 1
    assert found.plan is not None
