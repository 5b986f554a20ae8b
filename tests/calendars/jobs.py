"""Jobs for calendar tests: one gang with the shifts asked for, on the days and in the zone asked for."""

from __future__ import annotations

from datetime import date
from typing import Any

from planner.model import Gang, Job
from tests.jobs import make_job, small_fields, steady_days

PLACES = {"Europe/London": (54.6, -2.7), "America/New_York": (40.0, -75.0)}


def shift(rule: str = "FREQ=DAILY", start: str = "22:00", finish: str = "06:00", **more: Any) -> dict[str, Any]:
    return {"name": f"{start}-{finish}", "rule": rule, "start": start, "finish": finish, **more}


def job_with(
    *shifts: dict[str, Any], first: date, days: int, zone: str = "Europe/London", off: tuple[date, ...] = ()
) -> tuple[Gang, Job]:
    """Return the gang and its job; `off` are the job's days off."""
    fields = small_fields()
    latitude, longitude = PLACES[zone]
    fields["job"] = {**fields["job"], "first_day": first, "days": days, "days_off": list(off)}
    fields["site"] = {"name": "Site", "latitude": latitude, "longitude": longitude, "zone": zone}
    fields["forecast"] = {"days": steady_days(days, first=first)}
    fields["gangs"][0]["shifts"] = list(shifts)
    job = make_job(fields)
    return job.gangs[0], job
