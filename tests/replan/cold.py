"""A buried wall whose coats want 8 °C, planned in mild weather and then met by cold hours.

Three operations in order on one element, one gang, on four short shifts 08:00-11:00 from Monday 3 June 2024::

    prime 1 h --[recoat at 15 °C: 3.16 h .. 58.8 h]-- coat 1 h --[lag 20 h ..]-- seal 1 h

Small enough that every start of every operation can be tried.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from random import Random

import numpy as np

from planner.audit.check import Auditor
from planner.model import Aim, Job, Placement, Plan
from planner.solve.run import solve_job
from planner.units import Slot
from planner.weather.job_weather import JobWeather
from tests import jobs
from tests.audit.feature_job import weather_of

OPERATIONS = ("prime", "coat", "seal")
LENGTH = 4
DAYS = 4
WINTER = "winter"
"""A product for the coat that goes on in the cold, in as long as the usual one."""
SHIFT_STARTS = tuple(day * 96 + 32 + quarter for day in range(DAYS) for quarter in range(9))


def cold_job(elements: int = 1, winter: bool = False) -> Job:
    """Return the job; two elements are left unsealed, so that every start can still be tried.

    winter: the first element's coat may be done by the alternative `WINTER`.
    """
    limit = {"conditions": {"surface_c": [8, 30]}}
    short = {"name": "Short", "rule": "FREQ=DAILY", "start": "08:00", "finish": "11:00"}
    fields = jobs.small_fields()
    fields["job"]["days"] = DAYS
    fields["forecast"] = {"days": jobs.steady_days(DAYS)}
    fields["gangs"] = [jobs.gang(shifts=[short])]
    fields["elements"] = [
        jobs.element(f"E{number}", omit=["seal"] if elements > 1 else []) for number in range(1, elements + 1)
    ]
    fields["methods"] = [
        jobs.method(
            *(jobs.operation(id, 1.0, **limit) for id in OPERATIONS),
            gaps=[
                {"after": "prime", "before": "coat", "product": "coating", "curve": "recoat"},
                {"after": "coat", "before": "seal", "not_before_h": 20.0},
            ],
        )
    ]
    if winter:
        offer = {"id": WINTER, "name": "Winter coat", "conditions": {"surface_c": [0, 30]}, "cost": 50}
        fields["alternatives"] = [{"elements": ["E1"], "operation": "coat", **offer}]
    return jobs.make_job(fields)


def mild(job: Job) -> JobWeather:
    """Return a steady 15 °C."""
    return weather_of(job, {})


def with_cold(job: Job, draw: Random) -> JobWeather:
    """Return the mild weather with three spells of 3 °C, each an hour or two of a shift long."""
    surface = np.full(job.time.horizon + 1, 15.0)
    for _ in range(3):
        start = draw.randrange(DAYS) * 96 + draw.randrange(30, 44)
        surface[start : start + draw.randrange(4, 12)] = 3.0
    return weather_of(job, {"surface_c": surface})


def planned(job: Job, weather: JobWeather) -> Plan:
    """Return the plan that finishes earliest."""
    plan = solve_job(job, weather, seconds=20, trials=1000).plan
    assert plan is not None
    return plan


def fewest_moved(job: Job, weather: JobWeather, plan: Plan) -> int | None:
    """Return the least number of operations to move so that the audit finds nothing; None where nothing will do.

    Every set of operations and every start of each is tried, smallest sets first; a branch is cut where the audit
    of what is placed so far breaks a rule, since placing more mends none.
    """
    auditor, checked = Auditor(job, weather), replace(plan, aim=Aim.CHANGE)
    ways = (None, *(offer.id for offer in job.alternatives))
    for count in range(len(plan.placements) + 1):
        for chosen in combinations([placed.operation for placed in plan.placements], count):
            if _can_place(auditor, checked, frozenset(chosen), ways, ()):
                return count
    return None


def _can_place(
    auditor: Auditor,
    plan: Plan,
    free: frozenset[str],
    ways: tuple[str | None, ...],
    placed: tuple[Placement, ...],
) -> bool:
    if len(placed) == len(plan.placements):
        return auditor.audit(replace(plan, placements=placed)) == ()
    own = plan.placements[len(placed)]
    for way in ways if own.operation in free and own.operation == "E1/coat" else (own.alternative,):
        for start in SHIFT_STARTS if own.operation in free else (own.start,):
            there = replace(own, start=Slot(start), finish=Slot(start + LENGTH), alternative=way)
            grown = (*placed, there)
            found = auditor.audit_one(replace(plan, placements=grown), own.operation)
            if not found and _can_place(auditor, plan, free, ways, grown):
                return True
    return False


def road_with_rapid() -> Job:
    """Return the joint's job with a rapid mortar, fit after an hour whatever the cold, as an alternative."""
    fields = jobs.road_fields()
    fields["products"].append(
        {"id": "rapid_mortar", "name": "Rapid", "curves": {"traffic": {"not_before": [[-10, 1.0]]}}}
    )
    header = fields["methods"][0]["operations"][1]
    header["product"] = "mortar"
    header["alternatives"] = [{"id": "rapid", "name": "Rapid mortar", "product": "rapid_mortar", "cost": 90.0}]
    return jobs.make_job(fields)
