"""Short cuts of the check and of the problem, each against the long way round."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.calendars.shifts import shift_times
from planner.cure.clocks import open_clock
from planner.intervals import Interval
from planner.jobfile.load import load_job
from planner.model import GapCurve, Job
from planner.network.checks import check
from planner.network.kindest import kindest_gap
from planner.network.resource_checks import Openings, openings
from planner.problem.build import build_problem
from tests.benchmarks.made_jobs import made_job
from tests.solve.conftest import SAMPLES


@st.composite
def _curves(draw: st.DrawFn) -> GapCurve:
    """Any curve whose hours don't rise with warmth, which no curve's may; its clock stalls in the cold."""
    warmths = draw(st.lists(st.integers(-5, 30), min_size=1, max_size=4, unique=True))
    hours = sorted((draw(st.floats(0.5, 200)) for _ in warmths), reverse=True)
    points = tuple(zip(map(float, sorted(warmths)), hours, strict=True))
    stalls = draw(st.sampled_from([None, -10.0]))
    return GapCurve(not_before=points, stalls_below_c=stalls)


@given(_curves(), st.integers(0, 10**6), st.integers(1, 300), st.floats(-8, 32), st.floats(0, 9))
def test_whether_a_gap_ever_opens_is_what_its_whole_clock_says(
    curve: GapCurve, seed: int, horizon: int, mean_c: float, swing_c: float
) -> None:
    course = mean_c + swing_c * np.random.default_rng(seed).normal(size=horizon + 1)
    clock = open_clock(curve, course)
    assert clock is not None
    assert (kindest_gap(curve, course).opens is None) == bool(clock[-1] < 1.0 - 1e-9)


@given(
    st.lists(st.tuples(st.integers(0, 200), st.integers(1, 60)), max_size=12),
    st.integers(0, 220),
    st.integers(1, 80),
)
def test_shifts_in_a_window_are_those_that_meet_it(spans: list[tuple[int, int]], start: int, length: int) -> None:
    shifts = tuple(sorted(Interval(first, first + long) for first, long in spans))
    window = Interval(start, start + length)
    found = Openings({"G1": shifts}, {"G1": frozenset()}, ()).shifts_in("G1", window)
    assert found == tuple(
        Interval(max(one.start, window.start), min(one.finish, window.finish)) for one in shifts if one.meets(window)
    )


def test_openings_of_a_long_job_are_every_shift_in_every_window() -> None:
    job, _ = made_job(300)
    times = openings(job)
    for lane in job.lanes:
        for gang in job.gangs:
            slow = sorted(
                (max(shift.start, window.start), min(shift.finish, window.finish))
                for shift in times.shifts[gang.id]
                for window in times.windows((lane.id,))
                if shift.meets(window)
            )
            assert sorted((one.start, one.finish) for one in times.pieces(gang.id, (lane.id,))) == slow


@pytest.mark.parametrize("name", ["harrow_beck_viaduct", "frost_week"])
def test_the_problem_of_work_written_out_before_is_the_same(name: str) -> None:
    loaded = load_job(SAMPLES / f"{name}.toml")
    work = check(loaded.job, loaded.weather).work
    assert build_problem(loaded.job, loaded.weather, work=work) == build_problem(loaded.job, loaded.weather)


def test_what_is_kept_of_a_job_is_not_taken_for_another() -> None:
    """Shifts are kept by gang, days off and days of the job: a change of any of them is seen."""
    job = load_job(SAMPLES / "three_coats.toml").job
    gang = job.gangs[0]
    usual = shift_times(gang, job)
    off = _with_heading(job, days_off=(usual[0].day,))
    later = _with_heading(job, first_day=job.job.first_day + timedelta(days=7))
    rested = gang.model_copy(update={"days_off": (usual[1].day,)})
    assert [one.day for one in shift_times(gang, off)] == [one.day for one in usual[1:]]
    assert [one.day for one in shift_times(rested, job)] == [one.day for one in usual if one is not usual[1]]
    assert later.time.epoch == job.time.epoch + timedelta(days=7)
    assert {one.day for one in shift_times(gang, later)} != {one.day for one in usual}


def _with_heading(job: Job, **fields: object) -> Job:
    return job.model_copy(update={"job": job.job.model_copy(update=fields)})
