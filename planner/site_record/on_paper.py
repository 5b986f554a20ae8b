"""A plan as its shift sheets show it: as it stands by the site record."""

from __future__ import annotations

from planner.audit.check import Auditor
from planner.model import Job, Plan
from planner.sheets.scene import Planned
from planner.site_record.rest import findings_on, standing_plan
from planner.weather.job_weather import JobWeather


def planned_of(job: Job, weather: JobWeather, plan: Plan, auditor: Auditor) -> Planned:
    """Return what sheets are written from; without any record, the plan as it is. auditor: of this job."""
    stands, exact = standing_plan(job, plan, auditor)
    return Planned(job, weather, stands, exact, findings_on(job, plan, auditor))
