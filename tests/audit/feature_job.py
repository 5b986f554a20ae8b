"""One job with every feature, its weather and a plan of it made by hand, in which nothing is broken.

Ten days from Monday 3 June 2024; surfaces, air and curves at a steady 15 °C unless the table below says more.
At 15 °C the log-linear curves give, from 10 and 20 °C: recoat sqrt(5*2) = 3.16 h to sqrt(72*48) = 58.8 h,
bury sqrt(48*24) = 33.9 h, traffic sqrt(5*2) = 3.16 h. G1 needs 30 min between structures S1 and S2::

    day 0 Mon   07    09    11    13    15    17    19    21    23    01    03    05
    W1 (S1) G1  prime-               coat-----
    W2 (S2) G1         prime-                         (day 1, 07-10: coat; backfill is omitted)
    J1 (S3) G2                                        C1 {cones saw-clean-header-... fit 04:25  cones}
                                                      21    21:45        -01:15         04:30     05
    day 2-3     W1 backfill in two visits, Wed 07-17 and Thu 07-09
    day 3-4     B1 (S2) G1, plant JACK held from Thu 11: jack 11-12, set 12-14, lower Fri 07-08
    day 4       B2 (S2) G1, plant JACK held from Fri 09: jack 09-10, set 10-12, lower 12-13
    day 5 Sat   P1 (S3) G3, around the clock: paint 10-12, the one operation with every condition

Closures of lane L1 by night: C1 day 0, C2 day 2, C3 (refused) day 4; C4 shuts only lane L2, night of day 1.
W1 backfill > B1 jack is a link of at least 2 h and at most 48 h. Bad weather comes only where nothing is planned::

    day 6  10-12 wind 12 m/s     15-17 humidity 90 %
    day 7  08-10 surface 3 °C    14-16 surface 35 °C
    day 8  06-08 air 1 °C        14-16 dew point 14 °C     18-20 air 32 °C
    day 9  06-07 rain            12-13 rain                17-18 surface 1 °C
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from planner.model import Aim, Job, Placement, Plan, PlanStatus
from planner.units import Slot
from planner.weather.job_weather import JobWeather
from planner.weather.surface import ElementTemperature
from tests import jobs

CONDITIONS = {
    "surface_c": [5, 30],
    "air_c": [3, 28],
    "humidity_max_pct": 85,
    "wind_max_ms": 8,
    "dew_margin_c": 3,
    "dry": True,
    "rain_free_h": 2,
    "protect_h": 4,
    "protect_min_c": 2,
}


def at(day: int, hour: float) -> Slot:
    """Return the slot of `hour` o'clock on the job's day number `day`; for weeks without a clock change."""
    return Slot(day * 96 + round(hour * 4))


def feature_fields() -> jobs.Fields:
    """Return a fresh mapping of the job, to be changed at will."""
    night = {"name": "Night", "rule": "FREQ=DAILY", "start": "20:00", "finish": "06:00"}
    around = {"name": "Round", "rule": "FREQ=DAILY", "start": "00:00", "finish": "00:00"}
    fields = jobs.small_fields()
    fields["products"] += jobs.road_fields()["products"]
    return {
        **fields,
        "gangs": [
            jobs.gang("G1", move_min=30, cost_per_shift=800.0, skills=["coat", "jack"]),
            jobs.gang("G2", shifts=[night], cost_per_shift=1000.0, skills=["joint"]),
            jobs.gang("G3", shifts=[around], cost_per_shift=900.0, move_min=60),
        ],
        "plant": [{"id": "JACK", "name": "Jack set", "count": 1}, {"id": "SAW", "name": "Saw", "count": 1}],
        "lanes": [{"id": "L1", "name": "Lane 1"}, {"id": "L2", "name": "Lane 2"}],
        "closures": [
            jobs.night_closure("C1", 0, cost=2000.0),
            jobs.night_closure("C2", 2, cost=3000.0),
            jobs.night_closure("C3", 4, state="refused"),
            jobs.night_closure("C4", 1, lanes=["L2"]),
        ],
        "structures": [{"id": id, "name": f"Structure {id}"} for id in ("S1", "S2", "S3")],
        "methods": [_wall(fields), _joint(), _bearing(), _post()],
        "elements": [
            jobs.element("W1", method="wall", structure="S1"),
            jobs.element("W2", method="wall", structure="S2", omit=["backfill"]),
            jobs.element("J1", method="joint", structure="S3", lanes=["L1"]),
            jobs.element("B1", method="bearing", structure="S2"),
            jobs.element("B2", method="bearing", structure="S2"),
            jobs.element("P1", method="post", structure="S3"),
        ],
        "links": [
            {
                "after": "W1/backfill",
                "before": "B1/jack",
                "not_before_h": 2,
                "not_after_h": 48,
                "reason": "The wall must stand first.",
            },
            {"after": "B1/lower", "before": "B2/jack", "reason": "One bearing at a time."},
        ],
    }


def _wall(fields: jobs.Fields) -> jobs.Fields:
    prime, coat, _ = fields["methods"][0]["operations"]
    backfill = jobs.operation("backfill", 12.0, visits="many", min_visit_h=3.0)
    return jobs.method(prime, coat, backfill, id="wall", gaps=_with_remedy(fields["methods"][0]["gaps"]))


def _with_remedy(gaps: list[jobs.Fields]) -> list[jobs.Fields]:
    return [{**gaps[0], "remedy": "Abrade and prime again."}, *gaps[1:]]


def _joint() -> jobs.Fields:
    return jobs.method(
        jobs.operation("saw", 1.0, skill="joint", lanes_shut=True, plant=["SAW"]),
        jobs.operation("clean", 0.5, skill="joint"),
        jobs.operation("header", 2.0, skill="joint", lanes_shut=True),
        id="joint",
        exposed=[
            {
                "name": "open joint",
                "first": "saw",
                "last": "header",
                "fit": [{"after": "header", "product": "mortar", "curve": "traffic"}],
            }
        ],
    )


def _bearing() -> jobs.Fields:
    return jobs.method(
        jobs.operation("jack", 1.0, skill="jack", plant=["JACK"]),
        jobs.operation("set", 2.0, skill="jack", plant=["JACK"]),
        jobs.operation("lower", 1.0, skill="jack"),
        id="bearing",
        plant_holds=[{"plant": "JACK", "first": "jack", "last": "lower"}],
    )


def _post() -> jobs.Fields:
    return jobs.method(jobs.operation("paint", 2.0, light="daylight", conditions=CONDITIONS), id="post")


def feature_job(**changes: Any) -> Job:
    """Return the job; keywords replace top-level parts of its file."""
    return jobs.make_job({**feature_fields(), **changes})


def weather_of(job: Job, values: dict[str, Any]) -> JobWeather:
    """Return weather with each named array (or one number for all of it) in place of the steady values.

    surface_c stands for the surface of every element of the job; left out, it is the air's temperature.
    """
    horizon = job.time.horizon
    steady = {"air_c": 15.0, "humidity_pct": 70.0, "wind_ms": 3.0, "cloud_pct": 60.0, "dew_c": 9.6, "night": 0.0}
    arrays = {name: np.full(horizon + 1, 0.0) + values.get(name, number) for name, number in steady.items()}
    surface = np.full(horizon + 1, 0.0) + values.get("surface_c", arrays["air_c"])
    return JobWeather(
        time=job.time,
        **arrays,
        rain_mm_h=np.full(horizon, 0.0) + values.get("rain_mm_h", 0.0),
        source="made by hand",
        _known={element.surface_kind: ElementTemperature(surface, surface) for element in job.elements},
    )


def feature_weather(job: Job) -> JobWeather:
    """Return the weather of the table above."""
    horizon = job.time.horizon
    air, surface, dew = np.full(horizon + 1, 15.0), np.full(horizon + 1, 15.0), np.full(horizon + 1, 9.6)
    wind, humidity, rain = np.full(horizon + 1, 3.0), np.full(horizon + 1, 70.0), np.zeros(horizon)
    wind[at(6, 10) : at(6, 12)] = 12.0
    humidity[at(6, 15) : at(6, 17)] = 90.0
    surface[at(7, 8) : at(7, 10)] = 3.0
    surface[at(7, 14) : at(7, 16)] = 35.0
    air[at(8, 6) : at(8, 8)] = 1.0
    dew[at(8, 14) : at(8, 16)] = 14.0
    air[at(8, 18) : at(8, 20)] = 32.0
    rain[at(9, 6) : at(9, 7)] = 1.0
    rain[at(9, 12) : at(9, 13)] = 0.4
    surface[at(9, 17) : at(9, 18)] = 1.0
    dew[at(7, 6) : at(7, 11)] = dew[at(9, 16) : at(9, 19)] = -5.0
    values = {"air_c": air, "surface_c": surface, "dew_c": dew, "wind_ms": wind, "humidity_pct": humidity}
    return weather_of(job, {**values, "rain_mm_h": rain})


def visit(
    operation: str, gang: str, start: int, hours: float, closure: str | None = None, number: int = 1
) -> Placement:
    """Return one visit of `hours` from slot `start`."""
    return Placement(operation, number, gang, Slot(start), Slot(start + round(hours * 4)), closure)


def feature_plan() -> Plan:
    """Return the plan drawn above."""
    placements = (
        visit("W1/prime", "G1", at(0, 7), 2),
        visit("W2/prime", "G1", at(0, 9.5), 2),
        visit("W1/coat", "G1", at(0, 12.5), 3),
        visit("J1/saw", "G2", at(0, 21.75), 1, "C1"),
        visit("J1/clean", "G2", at(0, 22.75), 0.5, "C1"),
        visit("J1/header", "G2", at(0, 23.25), 2, "C1"),
        visit("W2/coat", "G1", at(1, 7), 3),
        visit("W1/backfill", "G1", at(2, 7), 10),
        visit("W1/backfill", "G1", at(3, 7), 2, number=2),
        visit("B1/jack", "G1", at(3, 11), 1),
        visit("B1/set", "G1", at(3, 12), 2),
        visit("B1/lower", "G1", at(4, 7), 1),
        visit("B2/jack", "G1", at(4, 9), 1),
        visit("B2/set", "G1", at(4, 10), 2),
        visit("B2/lower", "G1", at(4, 12), 1),
        visit("P1/paint", "G3", at(5, 10), 2),
    )
    return plan_of(*placements)


def plan_of(*placements: Placement) -> Plan:
    """Return a plan for the earliest finish with its true value, proved best by its own word."""
    value = max(placed.finish for placed in placements) / 96
    return Plan("Test job", PlanStatus.FEASIBLE, Aim.FINISH, value, 0.0, placements)


def without(plan: Plan, operation: str) -> Plan:
    """Return `plan` without the visits of an operation, its value made true again."""
    return plan_of(*(placed for placed in plan.placements if placed.operation != operation))


def put(plan: Plan, operation: str, start: int, **changes: Any) -> Plan:
    """Return `plan` with all visits of an operation moved so that it starts at `start`, and changed by keyword."""
    shift = start - plan.visits_of(operation)[0].start
    return plan_of(
        *(
            replace(placed, start=Slot(placed.start + shift), finish=Slot(placed.finish + shift), **changes)
            if placed.operation == operation
            else placed
            for placed in plan.placements
        )
    )
