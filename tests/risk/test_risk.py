"""Chances over members: equal to a slow direct simulation, 0 or 1 and equal to the audit where there is no doubt."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from planner.audit.check import Auditor
from planner.audit.gaps import gap_rows
from planner.jobfile.load import load_job
from planner.model import Exposure, Job, Plan, SurfaceKind
from planner.risk.members import BLOCK, Members, make_members
from planner.risk.risk import Risk, member_risk, risk
from planner.risk.room import Rooms
from planner.risk.scene import Scene
from planner.risk.waiting import worked
from planner.solve.run import solve_job
from planner.weather.ensemble import Ensemble, make_ensemble
from planner.weather.ensemble_errors import ErrorModel
from planner.weather.job_weather import JobWeather, make_weather
from planner.weather.surface import ElementTemperature
from tests.risk.slow_waiting import SlowGangs
from tests.solve.conftest import SAMPLES, LoadedJob, main_job

__all__ = ["main_job"]

THAW = SAMPLES / "weather/harrow_beck_late_thaw.csv"
NO_DOUBT = ErrorModel(
    air_at_issue_k=0.0,
    air_per_day_k=0.0,
    swing_per_day=0.0,
    wind_per_day=0.0,
    cloud_per_day=0.0,
    rain_shift_h_per_day=0.0,
    rain_miss_per_day=0.0,
    rain_amount=0.0,
)
CLOCK_CODES = {"gap-early", "gap-late"}


@pytest.fixture(scope="module")
def plan(main_job: LoadedJob) -> Plan:
    """Return a plan of the main job."""
    found = solve_job(main_job.job, main_job.weather, seconds=60, trials=30).plan
    assert found is not None
    return found


@pytest.mark.parametrize("forecast", [None, THAW])
def test_without_doubt_chances_are_nought_or_one_and_the_audits(
    main_job: LoadedJob, plan: Plan, forecast: Path | None
) -> None:
    loaded = load_job(main_job.path, forecast)
    ensemble = make_ensemble(loaded.series, 3, 1, loaded.job.time.zone, NO_DOUBT)
    found = risk(loaded.job, loaded.weather, plan, ensemble)
    auditor = Auditor(loaded.job, loaded.weather)
    broken = [one for one in auditor.audit(plan) if one.code in CLOCK_CODES]
    missed = {one.before for one in found.gaps if one.planned.share == 0.0}
    assert {one.planned.share for one in found.gaps} <= {0.0, 1.0}
    assert missed == {one.place for one in broken}
    unfit = {one.place.partition("/")[0] for one in auditor.audit(plan) if one.code == "exposed-open"}
    assert {one.element for one in found.reopenings if one.planned.share == 0.0} == unfit
    assert {one.planned.share for one in found.reopenings} <= {0.0, 1.0}
    if forecast is None:
        assert (found.finish.p50, found.finish.p80) == (plan.finish, plan.finish)
        assert (found.all_planned.share, found.all_waiting.share) == (1.0, 1.0)
    else:
        assert missed


def test_each_chance_is_that_of_auditing_every_member_by_itself(main_job: LoadedJob, plan: Plan) -> None:
    """Twelve members, each audited minute by minute with the surfaces that the members have: exactly as often."""
    job = main_job.job
    ensemble = make_ensemble(main_job.series, 12, 5, job.time.zone)
    members = make_members(main_job.weather, ensemble)
    found = member_risk(job, plan, members)
    direct = [_audited(job, _alone(job, members, ensemble, number), plan) for number in range(12)]
    for gap in found.gaps:
        assert gap.planned.held == sum(gap.key not in missed for missed, _ in direct), gap.key
    for one in found.reopenings:
        assert one.planned.held == sum(one.element not in unfit for _, unfit in direct), one.element
    assert any(0.0 < gap.planned.share < 1.0 for gap in found.gaps)


def test_other_members_agree_within_their_sampling_error(main_job: LoadedJob, plan: Plan) -> None:
    """Forty members of another seed, each in a weather from its own first day: within four standard errors."""
    job = main_job.job
    many = risk(job, main_job.weather, plan, make_ensemble(main_job.series, 400, 1, job.time.zone))
    few = make_ensemble(main_job.series, 40, 99, job.time.zone)
    direct = [_audited(job, make_weather(job, series), plan) for series in few.members]
    for gap in many.gaps:
        share = sum(gap.key not in missed for missed, _ in direct) / 40
        error = np.sqrt(max(gap.planned.share * (1.0 - gap.planned.share), 0.02) * (1 / 40 + 1 / 400))
        assert abs(share - gap.planned.share) <= 4.0 * error, gap.key


def test_the_same_seed_gives_the_same_chances_and_another_gives_others(main_job: LoadedJob, plan: Plan) -> None:
    def with_seed(seed: int) -> Risk:
        return risk(
            main_job.job, main_job.weather, plan, make_ensemble(main_job.series, 50, seed, main_job.job.time.zone)
        )

    assert with_seed(3) == with_seed(3)
    assert with_seed(3) != with_seed(4)


def test_a_gang_that_waits_starts_all_work_when_a_slow_simulation_does(main_job: LoadedJob, plan: Plan) -> None:
    """Six members, on the plan's own forecast and on the frost, each tried quarter-hour by quarter-hour."""
    moved = 0
    for forecast in (None, THAW):
        loaded = load_job(main_job.path, forecast)
        ensemble = make_ensemble(loaded.series, 3, 7, loaded.job.time.zone)
        members = make_members(loaded.weather, ensemble)
        scene = Scene(loaded.job, plan, members)
        fast = worked(scene, Rooms(loaded.job), {})
        for number in range(3):
            slow = SlowGangs(scene, _alone(loaded.job, members, ensemble, number)).work()
            assert {key: int(starts[number]) for key, starts in fast.starts.items()} == slow
            moved += sum(slow[one.operation, one.visit] > one.start for one in plan.placements)
    assert moved > 100


def _alone(job: Job, members: Members, ensemble: Ensemble, number: int) -> JobWeather:
    """Return the weather of one member, its surfaces as the members have them."""
    kinds = {element.surface_kind for element in job.elements}
    surfaces = {kind: members.surface_c(kind)[number] for kind in kinds}
    known = {kind: ElementTemperature(surface, surface) for kind, surface in surfaces.items()}
    return replace(make_weather(job, ensemble.members[number]), _known=known)


def _audited(job: Job, weather: JobWeather, plan: Plan) -> tuple[set[str], set[str]]:
    """Return the gaps missed, by the audit's own minute-by-minute clocks, and the elements not fit to reopen."""
    auditor = Auditor(job, weather)
    found = auditor.audit(plan)
    late = {one.place for one in found if one.code in CLOCK_CODES}
    rows = [row for row in gap_rows(job, weather, plan, auditor) if row.before in late]
    missed = {row.key for row in rows if row.spare_open < 0 or (row.spare_shut is not None and row.spare_shut < 0)}
    return missed, {one.place.partition("/")[0] for one in found if one.code == "exposed-open"}


@pytest.mark.parametrize("exposure", ["open", "sheltered", "shuttered", "buried"])
def test_surfaces_in_single_precision_are_those_in_double(main_job: LoadedJob, exposure: Exposure) -> None:
    """To 3e-5 K: some hundred steps of 1e-7 of a temperature, the next digits of the modes' sum."""
    members = make_members(main_job.weather, make_ensemble(main_job.series, 5, 3, main_job.job.time.zone))
    kind = SurfaceKind(
        0.3, 2 if exposure == "open" else 1, exposure, "south" if exposure == "open" else None, None, None
    )
    exact = members.weathers.of_kind(kind).surface_c
    np.testing.assert_allclose(members.surface_c(kind), exact, rtol=0, atol=3e-5)


def test_members_marched_in_blocks_are_those_marched_at_once(main_job: LoadedJob) -> None:
    ensemble = make_ensemble(main_job.series, BLOCK + 3, 2, main_job.job.time.zone)
    members = make_members(main_job.weather, ensemble)
    kind = main_job.job.elements[0].surface_kind
    exact = members.weathers.of_kind(kind).surface_c
    np.testing.assert_allclose(members.surface_c(kind), exact, rtol=0, atol=3e-5)
