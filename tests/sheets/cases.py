"""A road job with a product that is mixed, and its plan, for the sheet to be checked by hand.

Night closure 21:00 to 05:00, cones out 21:45, clearing from 04:30::

    saw 21:45-22:45 -- header 22:45-00:45      the mortar is fit for traffic 2 h later, at 02:45

Air and surface are 10 °C at every hour.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from planner.model import Aim, Job, Placement, Plan, PlanStatus
from planner.sheets.scene import Planned
from planner.units import Slot
from planner.weather.day_shape import daily_to_hourly
from planner.weather.job_weather import JobWeather, make_weather
from tests.jobs import Fields, make_job, road_fields, steady_days

SUPPLY: Fields = {
    "pack": "bag 25 kg",
    "pack_kg": 25,
    "water_l": 2.5,
    "yield_l": 12.5,
    "mixer_l": 40,
    "mix_min": 5,
    "pot_life_min": [[5, 40], [10, 30], [20, 15]],
    "cold_joint_min": 20,
}
SAW, HEADER = 87, 91
"""Slots 21:45 and 22:45 of the first day."""


def road_job_with(changes: dict[str, Any] | None = None) -> Job:
    """Return the joint's job at a steady 10 °C, with 100 l of mortar to be mixed."""
    fields = road_fields()
    fields["forecast"] = {
        "days": [{**day, "humidity_pct": 80} for day in steady_days(5, 10.0, 10.0)],
        "source": "steady",
    }
    fields["products"][0]["supply"] = dict(SUPPLY)
    fields["products"][0]["curves"] = {"traffic": {"not_before": [[5, 3], [10, 2], [20, 1]]}}
    fields["products"][0]["conditions"] = {"surface_c": [5, 30], "dry": True, "protect_h": 4, "protect_min_c": 1}
    saw, header = fields["methods"][0]["operations"]
    saw |= {"hold_point": "Lifting plan in hand", "cautions": ["dust", "traffic"], "plant": ["saw"]}
    header |= {
        "product": "mortar",
        "places": {"quantity": "volume_m3"},
        "reopening_hold": "Hard and swept",
        "cautions": ["cement", "traffic"],
        "note": "Damp, no free water.",
    }
    fields["plant"] = [{"id": "saw", "name": "Floor saw"}]
    fields["elements"][0]["quantities"] = {"volume_m3": 0.1}
    fields |= changes or {}
    return make_job(fields)


def weather_of(job: Job) -> JobWeather:
    """Return the job's weather from its typed days."""
    return make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time))


def placed(operation: str, start: int, finish: int, closure: str | None = "C1", **more: Any) -> Placement:
    """Return the only visit of an operation of E1."""
    return Placement(f"E1/{operation}", more.get("visit", 1), "G1", Slot(start), Slot(finish), closure)


def plan_of(*placements: Placement) -> Plan:
    """Return a plan; what it says of its value does not matter to a sheet."""
    finish = max(one.finish for one in placements) / 96
    return Plan("Test job", PlanStatus.FEASIBLE, Aim.FINISH, round(finish, 6), 0.0, placements)


def road_plan(saw: int = SAW, header: int = HEADER) -> Plan:
    """Return the plan of the two operations."""
    return plan_of(placed("saw", saw, saw + 4), placed("header", header, header + 8))


def held_at(weather: JobWeather, warmth_c: float) -> JobWeather:
    """Return the weather with every surface at one temperature."""
    steady = np.full_like(weather.air_c, warmth_c)
    return _Held(**{name: getattr(weather, name) for name in weather.__dataclass_fields__}, held=steady)


class _Held(JobWeather):
    def __init__(self, held: Any, **fields: Any) -> None:
        super().__init__(**fields)
        object.__setattr__(self, "held", held)

    def surface_c(self, element: Any) -> Any:
        return self.held  # type: ignore[attr-defined]


def planned(plan: Plan | None = None, job: Job | None = None) -> Planned:
    """Return job, weather (surfaces as warm as the air) and plan together."""
    job = job or road_job_with()
    return Planned(job, held_at(weather_of(job), 10.0), plan or road_plan())
