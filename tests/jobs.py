"""Small jobs for tests, checkable by hand.

`small_job`: one buried wall, off the road, no lanes, one gang on weekday shifts 07:00-17:00, ten days from a
Monday in June (British Summer Time throughout)::

    prime 2 h --[8/5/2/1 h .. 96/72/48/24 h]-- coat 3 h --[72/48/24/16 h ..]-- backfill 4 h
                    at 5/10/20/30 °C                        at 5/10/20/30 °C

`road_job`: one joint under lane L1, two night closures 21:00-05:00 with a gang on nights; from `saw` to the
mortar's fitness for traffic (2 h at 20 °C) is an exposed stretch::

    saw 1 h -- header 2 h --(fit 8/5/2/1.5 h)      both need L1 shut

All places, people and products are invented. Change any top-level part by keyword, e.g.
`small_job(gangs=[...])`; for deeper changes edit the mapping of `small_fields()` and call `make_job`.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from planner.model import Job

FIRST_DAY = date(2024, 6, 3)
"""A Monday."""

Fields = dict[str, Any]


def small_job(**changes: Any) -> Job:
    """Return the buried wall's job; keywords replace top-level parts of its file."""
    return make_job({**small_fields(), **changes})


def road_job(**changes: Any) -> Job:
    """Return the joint's job; keywords replace top-level parts of its file."""
    return make_job({**road_fields(), **changes})


def make_job(fields: Fields) -> Job:
    """Return the validated job of a mapping like that of a job file."""
    return Job.model_validate(fields)


def steady_days(days: int, low_c: float = 10.0, high_c: float = 20.0, first: date = FIRST_DAY) -> list[Fields]:
    """Return typed forecast days without rain, all alike, one more than `days` at each end."""
    return [
        {"date": first + timedelta(days=offset), "low_c": low_c, "high_c": high_c} for offset in range(-1, days + 1)
    ]


def operation(id: str, hours: float, **more: Any) -> Fields:
    """Return an operation of a method that is named after its id and needs the skill "coat"."""
    return {"id": id, "name": id.capitalize(), "skill": "coat", "hours": hours, **more}


def gang(id: str = "G1", **more: Any) -> Fields:
    """Return a gang of four with the skill "coat" on weekday shifts 07:00-17:00."""
    weekdays = {"name": "Day", "rule": "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "start": "07:00", "finish": "17:00"}
    return {"id": id, "name": f"Gang {id}", "size": 4, "skills": ["coat"], "shifts": [weekdays], **more}


def night_closure(id: str, day: int, **more: Any) -> Fields:
    """Return a closure of lane L1 from 21:00 on the job's day number `day` (0 is the first) to 05:00."""
    evening = datetime.combine(FIRST_DAY, time(21)) + timedelta(days=day)
    return {"id": id, "lanes": ["L1"], "start": evening, "finish": evening + timedelta(hours=8), **more}


def method(*operations: Fields, id: str = "M", gaps: list[Fields] | None = None, **more: Any) -> Fields:
    """Return a method of the operations, each following the one before unless it says otherwise."""
    return {"id": id, "name": f"Method {id}", "operations": list(operations), "gaps": gaps or [], **more}


def element(id: str = "E1", **more: Any) -> Fields:
    """Return an element of method "M" on structure "S1"."""
    return {"id": id, "name": f"Element {id}", "structure": "S1", "method": "M", **more}


def small_fields() -> Fields:
    """Return a fresh mapping of the buried wall's job, to be changed at will."""
    return {
        **_frame(days=10),
        "gangs": [gang()],
        "products": [_coating()],
        "methods": [
            method(
                operation("prime", 2.0),
                operation("coat", 3.0),
                operation("backfill", 4.0),
                gaps=[
                    {"after": "prime", "before": "coat", "product": "coating", "curve": "recoat"},
                    {"after": "coat", "before": "backfill", "product": "coating", "curve": "bury"},
                ],
            )
        ],
        "elements": [element()],
    }


def road_fields() -> Fields:
    """Return a fresh mapping of the joint's job, to be changed at will."""
    nights = {"name": "Night", "rule": "FREQ=DAILY", "start": "20:00", "finish": "06:00"}
    fit = {"after": "header", "product": "mortar", "curve": "traffic"}
    return {
        **_frame(days=5),
        "lanes": [{"id": "L1", "name": "Lane 1"}],
        "closures": [night_closure("C1", 0), night_closure("C2", 2)],
        "gangs": [gang(shifts=[nights])],
        "products": [_mortar()],
        "methods": [
            method(
                operation("saw", 1.0, lanes_shut=True),
                operation("header", 2.0, lanes_shut=True),
                exposed=[{"name": "open joint", "first": "saw", "last": "header", "fit": [fit]}],
            )
        ],
        "elements": [element(lanes=["L1"])],
    }


def _frame(days: int) -> Fields:
    return {
        "liftgap_job": 1,
        "job": {"name": "Test job", "first_day": FIRST_DAY, "days": days, "prelims_per_day": 100.0},
        "site": {"name": "Test site", "latitude": 54.6, "longitude": -2.7, "zone": "Europe/London"},
        "forecast": {"days": steady_days(days)},
        "structures": [{"id": "S1", "name": "Structure 1"}],
    }


def _coating() -> Fields:
    recoat = {
        "not_before": [[5, 8], [10, 5], [20, 2], [30, 1]],
        "not_after": [[5, 96], [10, 72], [20, 48], [30, 24]],
    }
    bury = {"not_before": [[5, 72], [10, 48], [20, 24], [30, 16]]}
    return {"id": "coating", "name": "Coating A", "curves": {"recoat": recoat, "bury": bury}}


def _mortar() -> Fields:
    traffic = {"not_before": [[0, 10], [5, 8], [10, 5], [20, 2], [30, 1.5]]}
    return {"id": "mortar", "name": "Mortar A", "curves": {"traffic": traffic}}
