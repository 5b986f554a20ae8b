"""The buried wall in air of a steady 10 °C, with a record: after the primer the coat may go on from 5 h to 72 h.

Mon 3 June: prime 07:00-09:00 -- 5 h --> coat 14:00-17:00 -- 48 h --> backfill Thu 07:00-11:00
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from planner.audit.check import Auditor
from planner.model import Aim, Job, Placement, Plan, PlanStatus
from planner.site_record.as_stands import AsStands, as_stands
from planner.units import Slot
from planner.weather.day_shape import daily_to_hourly
from planner.weather.job_weather import JobWeather, make_weather
from tests.jobs import Fields, make_job, small_fields, steady_days

PRIME, COAT, BACKFILL = "E1/prime", "E1/coat", "E1/backfill"
DAY = 96


def at(clock: str, day: int = 0) -> int:
    """Return the minute of a wall time on a day of the job; 0 is Monday 3 June."""
    hours, minutes = clock.split(":")
    return day * 24 * 60 + int(hours) * 60 + int(minutes)


def entry(operation: str, noted: str = "23:00", day: int = 0, **more: Any) -> Fields:
    """Return an entry; times given as "HH:MM" are of its day."""
    date = f"2024-06-{3 + day:02d}"
    times = {
        name: datetime.fromisoformat(f"{date}T{more.pop(name)}") for name in ("started", "finished") if name in more
    }
    return {"operation": operation, "noted_at": datetime.fromisoformat(f"{date}T{noted}"), **times, **more}


def wall_fields(*record: Fields) -> Fields:
    """Return the wall's job with entries on it."""
    fields = small_fields()
    fields["forecast"] = {"days": [day | {"humidity_pct": 50} for day in steady_days(10, 10.0, 10.0)]}
    for curve in fields["products"][0]["curves"].values():
        curve["temperature"] = "air"
    fields["products"][0]["conditions"] = {"surface_c": [5, 30], "dew_margin_c": 3}
    for operation in fields["methods"][0]["operations"][:2]:
        operation["product"] = "coating"
    fields["methods"][0]["gaps"][0]["remedy"] = "Abrade and prime again."
    fields["record"] = list(record)
    return fields


def wall_plan(job: Job) -> Plan:
    """Return the plan above."""
    rows = ((PRIME, 28, 36), (COAT, 56, 68), (BACKFILL, 3 * DAY + 28, 3 * DAY + 44))
    placed = tuple(Placement(key, 1, "G1", Slot(start), Slot(finish)) for key, start, finish in rows)
    value = (3 * DAY + 44) / DAY
    return Plan(job.job.name, PlanStatus.FEASIBLE, Aim.FINISH, value, 0.0, placed)


@dataclass(frozen=True)
class Wall:
    """A job with its record, read into its plan."""

    job: Job
    weather: JobWeather
    plan: Plan
    auditor: Auditor
    stood: AsStands


def wall(*record: Fields, now: int = at("18:00"), fields: Fields | None = None) -> Wall:
    """Return the wall as it stands at minute `now`."""
    job = make_job(fields or wall_fields(*record))
    weather = make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))
    plan = wall_plan(job)
    auditor = Auditor(job, weather)
    return Wall(job, weather, plan, auditor, as_stands(job, plan, now, auditor))
