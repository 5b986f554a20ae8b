"""The audit on strength gates and curing periods: opening by hand, and words that say how far it has come."""

from __future__ import annotations

import math
from datetime import timedelta
from typing import Any

import numpy as np
import pytest

from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.cure.maturity import EN_B10
from planner.findings import Finding
from planner.model import Job
from planner.problem.build import build_problem
from planner.solve.run import solve_job
from planner.weather.job_weather import JobWeather
from tests.audit.feature_job import plan_of, visit, weather_of
from tests.jobs import FIRST_DAY, gang, make_job, road_fields, steady_days
from tests.network.test_gates import STRENGTH, gated

UNITY_C = EN_B10.reference_c
"""Where eq. B.10 runs at unity: there an age is in hours of the clock."""


def steady(job: Job, warmth_c: float) -> JobWeather:
    """Return weather in which air and surfaces stay at one temperature [°C]."""
    return weather_of(job, {"air_c": warmth_c})


def cast_and_load(job: Job, load_at: int) -> Any:
    """Return the plan that casts from 07:00 to 09:00 on the first day and loads from slot `load_at`."""
    return plan_of(visit("E1/cast", "G1", 28, 2.0), visit("E1/load", "G1", load_at, 1.0))


def early(job: Job, weather: JobWeather, load_at: int) -> list[Finding]:
    return [one for one in audit(job, weather, cast_and_load(job, load_at)) if one.code == "gap-early"]


def age_h(mpa: float) -> float:
    """Return the age [h] of 50 MPa and s = 0.2 at a strength, by eq. 3.2 run backwards by hand."""
    return 672.0 / (1 - math.log(mpa / 50.0) / 0.2) ** 2


def test_a_gate_opens_at_the_age_of_its_strength() -> None:
    """35 MPa of 50 at s = 0.2: 86.8 h at unity, from 09:00 on the first day, slot 36."""
    job = gated({"strength_mpa": 35.0})
    weather = steady(job, UNITY_C)
    first = 36 + math.ceil(age_h(35.0) * 4)
    assert early(job, weather, first) == []
    [finding] = early(job, weather, first - 1)
    assert finding.place == "E1/load"
    assert "when Grout has reached 35 MPa" in finding.required
    assert "34.9 of 35 MPa reached" in finding.found


def test_words_of_a_gate_missed_by_a_day() -> None:
    job = gated({"strength_mpa": 35.0})
    load_at = 36 + 60 * 4
    [finding] = early(job, steady(job, UNITY_C), load_at)
    mpa = 50.0 * math.exp(0.2 * (1 - math.sqrt(672 / 60)))
    assert finding.found.endswith(f"too early, with {math.floor(mpa * 10) / 10:.1f} of 35 MPa reached")


def test_a_gate_that_does_not_open_within_the_job_says_how_far_it_comes() -> None:
    job = gated({"strength_mpa": 35.0})
    [finding] = early(job, steady(job, -1.0), 300)
    assert "Grout has reached 35 MPa, which does not happen within the job" in finding.required
    assert "0.0 of 35 MPa reached" in finding.found


def test_curve_and_gate_must_both_be_open() -> None:
    """At 20 °C the curve opens after 10 h, the gate after 87 h; each breach is told alone."""
    job = gated({"curve": "load", "strength_mpa": 35.0})
    weather = steady(job, UNITY_C)
    assert len(early(job, weather, 36 + 8 * 4)) == 2
    assert len(early(job, weather, 36 + 20 * 4)) == 1
    rows = gap_rows(job, weather, cast_and_load(job, 36 + 20 * 4))
    assert [row.key for row in rows] == ["E1/cast > E1/load", "E1/cast > E1/load at 35 MPa"]
    assert rows[0].opens < rows[1].opens


def test_a_curing_period_is_counted_by_bands_and_stands_still_in_the_cold() -> None:
    """DIN 1045-3, rapid: 24 h at 12 °C are half of 2 d, 24 h at 3 °C nothing, 12 h at 20 °C half of 1 d."""
    job = gated({"curing_class": 2}, product={"development": "rapid"}, code_set="din")
    slots = np.arange(job.time.horizon + 1)
    course = np.where(slots <= 36 + 96, 12.0, np.where(slots <= 36 + 192, 3.0, 20.0))
    weather = weather_of(job, {"air_c": course})
    opens = 36 + 96 + 96 + 48
    assert early(job, weather, opens + 1) == []
    [finding] = early(job, weather, opens - 8)
    assert "Grout has been cured by curing class 2" in finding.required
    assert "91 % of the minimum curing period run" in finding.found


def test_a_lane_is_not_fit_before_its_strength() -> None:
    fields = road_fields()
    fields["products"][0]["strength"] = STRENGTH
    fit = fields["methods"][0]["exposed"][0]["fit"][0]
    del fit["curve"]
    fit["strength_mpa"] = 20.0
    job = make_job(fields)
    saw, header = visit("E1/saw", "G1", 84, 1.0, "C1"), visit("E1/header", "G1", 88, 2.0, "C1")
    [finding] = [one for one in audit(job, steady(job, UNITY_C), plan_of(saw, header)) if one.code == "exposed-open"]
    assert finding.place == "E1/header"
    assert "of 20 MPa reached" in finding.found


@pytest.mark.parametrize("code_set", ["en", "din", "aci"])
@pytest.mark.parametrize("warmth_c", [4.0, 12.0, 27.0])
def test_solver_and_audit_agree_on_the_first_slot(code_set: str, warmth_c: float) -> None:
    """The solver's first slot is clean, and one slot or a hundredth of the time sooner is not."""
    job = gated({"strength_mpa": 30.0, "curing_class": 1}, code_set=code_set)
    slots = np.arange(job.time.horizon + 1)
    weather = weather_of(job, {"air_c": warmth_c + 6 * np.sin(slots / 15)})
    problem = build_problem(job, weather)
    opens = max(lag.opens[36] for lag in problem.lags if lag.opens is not None)
    if opens > job.time.horizon:
        assert early(job, weather, 900)
        return
    assert early(job, weather, opens) == []
    assert early(job, weather, opens - 2 - opens // 100)


def test_a_plan_over_gates_is_found_and_clean() -> None:
    job = gated({"curve": "load", "strength_mpa": 30.0, "curing_class": 3})
    weather = weather_of(job, {"air_c": 12.0})
    plan = solve_job(job, weather, seconds=5.0).plan
    assert plan is not None
    assert audit(job, weather, plan) == ()


def test_gates_wait_as_well_over_a_clock_change() -> None:
    """The night of 30 to 31 March 2024 loses an hour: the gate is counted in hours that pass, not on the clock."""
    job = gated({"strength_mpa": 35.0})
    first = FIRST_DAY.replace(month=3, day=29)
    fields = job.model_dump(mode="python")
    fields["job"] |= {"first_day": first, "days": 8}
    fields["forecast"] |= {"days": steady_days(8, first=first)}
    around = {"name": "Round", "rule": "FREQ=DAILY", "start": "00:00", "finish": "00:00"}
    spring = Job.model_validate({**job.model_dump(), **fields, "gangs": [gang(shifts=[around])]}, strict=False)
    weather = steady(spring, UNITY_C)
    opens = 36 + math.ceil(age_h(35.0) * 4)
    assert early(spring, weather, opens) == []
    assert early(spring, weather, opens - 1)
    assert spring.time.local(opens) - spring.time.local(36) != timedelta(hours=(opens - 36) / 4)
