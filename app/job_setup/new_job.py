"""The text of a new job: the least that can be planned, from a few answers; no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

import tomlkit

from app.job_setup.adding import element_table
from planner.jobfile.library import read_library
from planner.jobfile.migrate import NEWEST
from planner.model import Method

_FRIDAY = 4
_HEAD = (
    "A job of Liftgap. Everything is named by an id of letters, digits and underscores; methods and products come",
    "from the built-in library. Change it in the Job set-up view, or here.",
)


@dataclass(frozen=True)
class Answers:
    """What a new job is made of. low_c, high_c: of the air, every day until a forecast is brought [°C]."""

    name: str
    place: str
    latitude: float
    longitude: float
    zone: str
    first_day: date
    days: int
    low_c: float
    high_c: float
    method: str


def library_methods() -> tuple[Method, ...]:
    """Return the built-in methods."""
    return tuple(Method.model_validate(one) for one in read_library()["methods"])


def new_job_text(answers: Answers) -> str:
    """Return the text of a job file with one gang, one structure and one element of the method chosen."""
    method = next(one for one in library_methods() if one.id == answers.method)
    document = tomlkit.document()
    for line in _HEAD:
        document.add(tomlkit.comment(line))
    document.add(tomlkit.nl())
    for key, value in _tables(answers, method).items():
        document[key] = value
    return tomlkit.dumps(document)


def _tables(answers: Answers, method: Method) -> dict[str, Any]:
    shut = any(one.lanes_shut for one in method.operations)
    plant = sorted({id for one in method.operations for id in one.plant} | {one.plant for one in method.plant_holds})
    element = element_table(method, "structure", method.id, ["lane_1"] if shut else [])
    tables: dict[str, Any] = {
        "liftgap_job": NEWEST,
        "job": {"name": answers.name, "first_day": answers.first_day, "days": answers.days},
        "site": {
            "name": answers.place,
            "latitude": answers.latitude,
            "longitude": answers.longitude,
            "zone": answers.zone,
        },
        "forecast": {"source": "typed for a new job: bring a forecast in the Weather view", "days": _days(answers)},
        "gangs": [_gang(method, shut)],
        "plant": [{"id": id, "name": id.replace("_", " ").capitalize(), "count": 1} for id in plant],
        "lanes": [{"id": "lane_1", "name": "Lane 1"}] if shut else [],
        "closures": [_weekend(answers)] if shut else [],
        "structures": [{"id": "structure", "name": "Structure"}],
        "elements": [element],
    }
    return {key: value for key, value in tables.items() if value != []}


def _days(answers: Answers) -> list[dict[str, Any]]:
    days = (answers.first_day + timedelta(days=number) for number in range(answers.days))
    return [{"date": day, "low_c": answers.low_c, "high_c": answers.high_c} for day in days]


def _gang(method: Method, shut: bool) -> dict[str, Any]:
    skills = list(dict.fromkeys(one.skill for one in method.operations))
    day = {"name": "Day", "rule": "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "start": "07:00", "finish": "18:00"}
    weekend = [
        {"name": "Weekend day", "rule": "FREQ=WEEKLY;BYDAY=SA,SU", "start": "06:00", "finish": "18:00"},
        {"name": "Weekend night", "rule": "FREQ=WEEKLY;BYDAY=FR,SA,SU", "start": "18:00", "finish": "06:00"},
    ]
    shifts = [day, *weekend] if shut else [day]
    return {"id": "gang_a", "name": "Gang A", "size": 4, "skills": skills, "shifts": shifts}


def _weekend(answers: Answers) -> dict[str, Any]:
    """Return a closure over the first weekend, Friday evening to Monday morning."""
    friday = answers.first_day + timedelta(days=(_FRIDAY - answers.first_day.weekday()) % 7)
    start = datetime.combine(friday, time(20))
    return {
        "id": "weekend_1",
        "name": "Lane 1, weekend",
        "lanes": ["lane_1"],
        "start": start,
        "finish": start + timedelta(hours=57),
        "state": "wanted",
    }
