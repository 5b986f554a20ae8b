"""The sample jobs: each shows what its first lines say, and can be planned (or can't) as they say."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from planner.audit.case import Case
from planner.audit.check import Auditor, audit
from planner.audit.releases import dues
from planner.audit.wording import at_minute
from planner.findings import Weight
from planner.jobfile.load import LoadedJob, load_job
from planner.model import ClosureState
from planner.network.work import write_out
from planner.solve.run import Outcome, solve_job
from tests.weather.tmy3 import write_hourly_csv

FOLDER = Path(__file__).parents[2] / "sample_jobs"
MAIN = "harrow_beck_viaduct"
PLANNABLE = (MAIN, "three_coats", "plated_slot", "saltbush_wash", "frost_week")
NO_PLAN = "cold_night_patch"
METHODS = {"buried_coating", "jacket", "bearing_shelf", "expansion_joint", "kerb", "deck_waterproofing"}
CLOCK_CHANGE = datetime(2027, 3, 28, 1, tzinfo=UTC)
"""Instant at which the clocks of Europe/London go forward in 2027 (IANA time zone database)."""


@cache
def loaded(name: str) -> LoadedJob:
    return load_job(FOLDER / f"{name}.toml")


def first_plan(found: LoadedJob) -> Outcome:
    return solve_job(found.job, found.weather, seconds=120, trials=1)


def test_main_job_has_every_method_and_the_size_of_a_real_one() -> None:
    job = loaded(MAIN).job
    assert {element.method for element in job.elements} == METHODS
    assert 14 <= len(job.elements) <= 20
    assert 90 <= len(write_out(job).operations) <= 150
    assert 10 <= len(job.closures) <= 14
    assert (job.job.days, len(job.gangs)) == (35, 4)


def test_main_job_has_closures_in_every_state() -> None:
    states = Counter(closure.state for closure in loaded(MAIN).job.closures)
    assert set(states) == set(ClosureState)
    assert states[ClosureState.REFUSED] == 1


def test_clocks_change_inside_a_closure_of_the_main_job() -> None:
    job = loaded(MAIN).job
    windows = [(job.time.wall(closure.start), job.time.wall(closure.finish)) for closure in job.closures]
    [(start, finish)] = [window for window in windows if window[0] < CLOCK_CHANGE < window[1]]
    assert (finish - start).total_seconds() == 9 * 3600


def test_main_job_has_frost_in_the_middle_and_warmth_at_both_ends() -> None:
    found = loaded(MAIN)
    time, weather = found.job.time, found.weather
    midnights = [time.slot_of(time.midnight(day)) for day in time.each_day(after=1)]
    days = [slice(start, finish) for start, finish in pairwise(midnights)]
    lows_c, highs_c = ([worst(weather.air_c[day]) for day in days] for worst in (np.min, np.max))
    frosty = [number for number, low_c in enumerate(lows_c) if low_c <= -2.5]
    assert 3 <= len(frosty) <= 4
    assert all(14 <= number <= 20 for number in frosty)
    assert min(max(highs_c[:5]), max(highs_c[24:])) >= 13
    assert 3 <= sum(bool(weather.rain_mm_h[day].any()) for day in days) <= 8


@pytest.mark.parametrize("name", PLANNABLE)
def test_job_has_a_plan_that_the_audit_passes(name: str) -> None:
    found = loaded(name)
    plan = first_plan(found).plan
    assert plan is not None
    assert {placed.operation for placed in plan.placements} == {op.key for op in write_out(found.job).operations}
    assert [str(finding) for finding in audit(found.job, found.weather, plan)] == []


def test_main_job_has_a_plan_in_the_weather_of_a_real_spring(tmp_path: Path) -> None:
    time = loaded(MAIN).job.time
    forecast = write_hourly_csv(tmp_path / "real.csv", time.first_day, time.days, time.zone)
    found = load_job(FOLDER / f"{MAIN}.toml", forecast)
    plan = first_plan(found).plan
    assert plan is not None
    assert [str(finding) for finding in audit(found.job, found.weather, plan)] == []


def test_late_thaw_breaks_a_plan_of_the_main_job_and_has_a_plan_of_its_own() -> None:
    late = load_job(FOLDER / f"{MAIN}.toml", FOLDER / "weather" / "harrow_beck_late_thaw.csv")
    before, after = first_plan(loaded(MAIN)).plan, first_plan(late).plan
    assert before is not None
    assert after is not None
    assert any(finding.weight is Weight.BREACH for finding in audit(late.job, late.weather, before))
    assert [str(finding) for finding in audit(late.job, late.weather, after)] == []


def test_three_coats_has_the_one_answer_in_its_first_lines() -> None:
    plan = first_plan(loaded("three_coats")).plan
    assert plan is not None
    assert [(placed.operation, placed.start, placed.finish) for placed in plan.placements] == [
        ("plinth/prime", 32, 36),
        ("plinth/coat_1", 44, 48),
        ("plinth/coat_2", 60, 68),
    ]
    assert plan.value == plan.bound == pytest.approx(17 / 24, abs=1e-6)


def test_cold_night_patch_has_no_plan_and_the_reasons_name_header_and_closure() -> None:
    outcome = first_plan(loaded(NO_PLAN))
    assert outcome.plan is None
    words = "\n".join(outcome.reasons)
    assert "“Mortar headers” (East joint, header patch)" in words
    assert "6 h 30 min" in words
    assert "wing" not in words


def test_plated_slot_lies_under_plates_begins_as_pinned_and_waits_for_the_engineer() -> None:
    found = loaded("plated_slot")
    plan = first_plan(found).plan
    assert plan is not None
    saw = plan.visits_of("slot/saw_out")[0]
    assert (saw.alternative, found.job.time.local(saw.start).isoformat()[:16]) == ("plates", "2027-05-11T22:15")
    nights = {one.closure for one in plan.placements if one.operation.startswith("slot/")}
    assert nights == {"night_1", "night_2", "night_3"}
    backfill = found.job.time.local(plan.visits_of("wing/backfill")[0].start)
    board = found.job.time.local(plan.visits_of("wing/board")[0].finish)
    assert (board.hour, board.minute, backfill.hour, backfill.minute) == (9, 0, 9, 30)
    case = Case(Auditor(found.job, found.weather).side_of(plan), plan)
    told = {due.operation: at_minute(found.job.time, due.notice_by or 0) for due in dues(case)}
    assert told == {"slot/set_joint": "Tue 11 May 21:00", "wing/backfill": "Tue 11 May 09:00"}


@pytest.mark.parametrize("name", [*PLANNABLE, NO_PLAN])
def test_no_line_is_too_long_to_read(name: str) -> None:
    text = (FOLDER / f"{name}.toml").read_text("utf-8")
    assert all(len(line) <= 120 for line in text.splitlines())
