"""Small random jobs on the road: two or three joints under one or two lanes, three or four closures of a few hours.

saw -- header --(fit)--     all of a joint in one closure; one gang, or two, on nights and days
"""

from __future__ import annotations

import random
from datetime import datetime, time, timedelta
from typing import Any

from planner.model import Job
from planner.weather.day_shape import daily_to_hourly
from planner.weather.job_weather import JobWeather, make_weather
from tests.jobs import FIRST_DAY, Fields, element, gang, make_job, method, operation, road_fields, steady_days

STATES = ("wanted", "requested", "agreed")
AROUND_THE_CLOCK = {"name": "All day", "rule": "FREQ=DAILY", "start": "00:00", "finish": "23:45"}


def closure(id: str, hour: int, hours: float, **more: Any) -> Fields:
    """Return a closure of lane L1 that starts `hour` hours after the job's first midnight."""
    start = datetime.combine(FIRST_DAY, time(0)) + timedelta(hours=hour)
    return {"id": id, "lanes": ["L1"], "start": start, "finish": start + timedelta(hours=hours), **more}


def random_fields(seed: int) -> Fields:
    """Return the mapping of a random job; the same seed gives the same one."""
    draw = random.Random(seed)
    lanes = ["L1", "L2"][: draw.randint(1, 2)]
    fields = road_fields()
    fields["job"]["days"] = 4
    fields["forecast"] = {"days": steady_days(4)}
    fields["lanes"] = [{"id": lane, "name": f"Lane {lane}"} for lane in lanes]
    fields["closures"] = [
        closure(
            f"C{number}",
            draw.randint(0, 80),
            draw.choice((6, 7, 9, 12)),
            lanes=lanes if draw.random() < 0.4 else [draw.choice(lanes)],
            state=draw.choice(STATES),
            cost=draw.choice((0, 100, 250, 400)),
        )
        for number in range(draw.randint(3, 4))
    ]
    fields["gangs"] = [gang(f"G{number}", shifts=[AROUND_THE_CLOCK]) for number in range(draw.randint(1, 2))]
    fit = {"after": "header", "product": "mortar", "curve": "traffic"}
    fields["methods"] = [
        method(
            operation("saw", draw.choice((0.5, 1.0, 1.5)), lanes_shut=True),
            operation("header", draw.choice((0.5, 1.0)), lanes_shut=True),
            exposed=[{"name": "open joint", "first": "saw", "last": "header", "fit": [fit]}],
        )
    ]
    fields["products"][0]["curves"]["traffic"] = {"not_before": [[0, 2.5], [20, 1]]}
    fields["elements"] = [element(f"E{number}", lanes=[draw.choice(lanes)]) for number in range(draw.randint(2, 3))]
    return fields


def random_job(seed: int) -> tuple[Job, JobWeather]:
    """Return a random job with its weather."""
    return with_weather(make_job(random_fields(seed)))


def with_weather(job: Job) -> tuple[Job, JobWeather]:
    """Return the job with its own typed forecast."""
    return job, make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))


def with_quicker_way(hours: float) -> tuple[Job, JobWeather]:
    """Return a job of one joint, E0, in one closure of so many hours; its header takes 3 h, or 1 h the quick way."""
    fields = random_fields(0)
    quick = {"id": "quick", "name": "Quick header", "hours": 1.0}
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["methods"] = [
        method(
            operation("saw", 1.0, lanes_shut=True),
            operation("header", 3.0, lanes_shut=True, alternatives=[quick]),
            exposed=[{"name": "open joint", "first": "saw", "last": "header"}],
        )
    ]
    fields["elements"] = [{**fields["elements"][0], "lanes": ["L1"]}]
    fields["closures"] = [closure("C1", 10, hours)]
    return with_weather(make_job(fields))
