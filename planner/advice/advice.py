"""All advice on a plan in one list."""

from __future__ import annotations

from planner.advice.drying import drying
from planner.advice.frost import frost
from planner.advice.placing import cold_placing, hot_placing
from planner.advice.pours import pours
from planner.advice.strengths import strength_notes
from planner.findings import Finding
from planner.model import Job, Plan
from planner.weather.job_weather import JobWeather

_CHECKS = (drying, frost, hot_placing, cold_placing)


def advice(job: Job, weather: JobWeather, plan: Plan) -> tuple[Finding, ...]:
    """Return advice on the job's strengths, then on the plan's pours by slot; none of it is a breach."""
    found = [finding for pour in pours(job, weather, plan) for check in _CHECKS for finding in check(pour)]
    found.sort(key=lambda finding: (finding.slot or 0, finding.place, finding.code))
    return (*strength_notes(job), *found)
