"""A plan as its shift sheets show it: as it stands by the site record."""

from __future__ import annotations

from planner.audit.check import Auditor
from planner.model import Job, Plan
from planner.sheets.scene import Planned, RealVisit
from planner.site_record.as_stands import AsStands
from planner.site_record.broken_layers import broken_layers, stops
from planner.site_record.rest import findings_on, rest_of
from planner.weather.job_weather import JobWeather


def planned_of(job: Job, weather: JobWeather, plan: Plan, auditor: Auditor, issued_on: str = "") -> Planned:
    """Return what sheets are written from; without any record, the plan as it is. auditor: of this job.

    issued_on: as `Planned` holds it.
    """
    rest = rest_of(job, auditor, plan)
    found = findings_on(job, plan, auditor)
    if rest is None:
        return Planned(job, weather, plan, {}, found, issued_on=issued_on)
    waiting = dict(stops(broken_layers(rest.stood, auditor), auditor.side_of(rest.base)))
    return Planned(job, weather, rest.base, rest.stood.exact, found, _real(rest.stood), waiting, issued_on)


def _real(stood: AsStands) -> dict[tuple[str, int], RealVisit]:
    planned = {(one.operation, one.visit): one for visits in stood.progress.planned.values() for one in visits}
    return {
        key: RealVisit(one.start, one.finish, planned.get(key), one.readings.given())
        for key, one in stood.progress.recorded.items()
        if one.start is not None
    }
