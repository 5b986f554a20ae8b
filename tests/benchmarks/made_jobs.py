"""Seeded jobs of any size for the benchmarks: six methods mixed, closures, plant, a spring and summer of weather.

Everything is invented; the mix keeps the shares of an ordinary bridge job. A bigger job has more gangs, lanes and
closures as well, so that it lasts about as many weeks as one with four gangs and 150 operations.
"""

from __future__ import annotations

import math
import random
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import numpy as np
import tomlkit

from planner.jobfile.library import read_library, with_library
from planner.model import Job
from planner.weather.job_weather import JobWeather, make_weather
from planner.weather.series import HourlySeries

FIRST_DAY = date(2027, 4, 5)
"""A Monday in spring."""
_METHODS = (
    ("jacket", 13, 6),
    ("buried_coating", 6, 4),
    ("kerb", 9, 3),
    ("expansion_joint", 13, 2),
    ("bearing_shelf", 11, 2),
    ("deck_waterproofing", 7, 2),
)
"""Method, operations in it, share of the elements."""
_PIER_SKILLS = ["hydro", "jetting", "breakout", "drilling", "steel", "formwork", "mortar", "pouring", "coating"]
_DECK_SKILLS = ["hydro", "joints", "breakout", "drilling", "steel", "formwork", "pouring", "jacking"]


def made_job(operations: int, seed: int = 1) -> tuple[Job, JobWeather]:
    """Return a job of about `operations` operations, and its weather; the same seed gives the same job."""
    fields, series = _made(operations, seed)
    job = Job.model_validate(with_library(fields, read_library()))
    return job, make_weather(job, series)


def write_made_job(folder: Path, operations: int, seed: int = 1) -> Path:
    """Write such a job and its forecast into a folder; return the job's file."""
    fields, series = _made(operations, seed)
    path = folder / f"made_{operations}_{seed}.toml"
    sheet = f"made_{operations}_{seed}.csv"
    path.write_text(tomlkit.dumps({**fields, "forecast": {"hourly": sheet}}), encoding="utf-8")
    (folder / sheet).write_text(_sheet(series), encoding="utf-8")
    return path


def _sheet(series: HourlySeries) -> str:
    names = ("air_c", "humidity_pct", "rain_mm", "wind_ms", "cloud_pct")
    columns = [getattr(series, name) for name in names]
    rows = [
        ",".join(
            [f"{series.start + timedelta(hours=hour):%Y-%m-%dT%H:%MZ}", *(f"{one[hour]:.3f}" for one in columns)]
        )
        for hour in range(series.hours)
    ]
    return "\n".join([",".join(("time", *names)), *rows]) + "\n"


def _made(operations: int, seed: int) -> tuple[dict[str, object], HourlySeries]:
    draw = random.Random(seed)
    elements = _elements(draw, operations)
    crews = max(1, round(operations / 260))
    pairs = max(1, round(operations / 260))
    days = min(400, 60 + 10 * round(math.log2(max(1, operations / 100)) + 1))
    fields = {
        "liftgap_job": 1,
        "job": {"name": f"Made job {operations}", "first_day": FIRST_DAY, "days": days, "prelims_per_day": 1500},
        "site": {"name": "Nowhere", "latitude": 54.6, "longitude": -2.7, "zone": "Europe/London"},
        "forecast": {"hourly": "made.csv"},
        "gangs": [gang for number in range(crews) for gang in _gangs(draw, number)],
        "plant": [
            {"id": "hydro_rig", "name": "Rig", "count": crews},
            {"id": "jack_set", "name": "Jacks", "count": 2 * pairs},
        ],
        "lanes": [{"id": f"lane_{number}", "name": f"Lane {number}"} for number in range(2 * pairs)],
        "closures": [one for number in range(2 * pairs) for one in _closures(number, days)],
        "structures": [
            {"id": f"s{number}", "name": f"Structure {number}"} for number in range(1 + len(elements) // 4)
        ],
        "elements": [{**one, **_place(draw, one, len(elements), pairs)} for one in elements],
    }
    return fields, _weather(draw, days)


def _elements(draw: random.Random, operations: int) -> list[dict[str, object]]:
    bag = [(method, count) for method, count, share in _METHODS for _ in range(share)]
    found: list[dict[str, object]] = []
    total = 0
    while total < operations - 3:
        method, count = draw.choice(bag)
        found.append({"id": f"e{len(found)}", "name": f"Element {len(found)}", "method": method, **_amounts(draw)})
        total += count
    return found


def _amounts(draw: random.Random) -> dict[str, object]:
    size = draw.uniform(0.6, 1.3)
    amounts = {"length_m": 6, "area_m2": 4, "dowels": 36, "anodes": 12, "volume_m3": 0.3, "bars": 20, "ties": 20}
    more = {"backfill_m3": 26, "level_m2": 10}
    return {
        "quantities": {name: round(size * amount, 2) for name, amount in (amounts | more).items()},
        "thickness_m": draw.choice((0.3, 0.4, 0.6, 0.8)),
        "faces": draw.choice((1, 2)),
    }


def _place(draw: random.Random, element: dict[str, object], count: int, pairs: int) -> dict[str, object]:
    where = {"structure": f"s{draw.randrange(1 + count // 4)}"}
    if element["method"] in ("jacket", "buried_coating"):
        return where
    return {**where, "lanes": [f"lane_{draw.randrange(2 * pairs)}"], "held": draw.random() < 0.6}


def _gangs(draw: random.Random, number: int) -> list[dict[str, object]]:
    weekdays = {"name": "Day", "rule": "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "start": "07:00", "finish": "18:00"}
    four = {**weekdays, "rule": "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH"}
    nights = {"name": "Night", "rule": "FREQ=WEEKLY;BYDAY=TU,WE", "start": "19:30", "finish": "06:00"}
    ends = {"name": "Weekend", "rule": "FREQ=WEEKLY;BYDAY=FR,SA,SU", "start": "18:00", "finish": "06:00"}
    sundays = {"name": "Day", "rule": "FREQ=WEEKLY;BYDAY=SA,SU", "start": "06:00", "finish": "18:00"}
    decks = {**weekdays, "rule": "FREQ=WEEKLY;BYDAY=TU,WE,TH"}
    paved = [*_DECK_SKILLS, "waterproofing", "surfacing"]
    return [
        _gang(f"piers_{number}", [*_PIER_SKILLS, "earthworks"], [weekdays], draw),
        _gang(f"walls_{number}", [*_PIER_SKILLS[1:], "earthworks"], [four], draw),
        _gang(f"decks_{number}", paved, [decks, sundays], draw),
        _gang(f"nights_{number}", paved, [nights, ends], draw),
    ]


def _gang(id: str, skills: list[str], shifts: list[dict[str, str]], draw: random.Random) -> dict[str, object]:
    cost = draw.randrange(1300, 2800, 20)
    return {
        "id": id, "name": id, "size": 4, "skills": skills, "shifts": shifts, "cost_per_shift": cost, "move_min": 30
    }  # fmt: skip


def _closures(lane: int, days: int) -> list[dict[str, object]]:
    found: list[dict[str, object]] = []
    for day in range(1, days - 3):
        start = datetime.combine(FIRST_DAY + timedelta(days=day), time(20))
        if day % 7 == (1, 2)[lane % 2]:
            found.append(_closure(f"night_{lane}_{day}", lane, start, 10, 1950))
        if day % 14 == (4, 11)[lane % 2]:
            found.append(_closure(f"weekend_{lane}_{day}", lane, start, 57, 13800))
    return found


def _closure(id: str, lane: int, start: datetime, hours: int, cost: int) -> dict[str, object]:
    return {
        "id": id, "lanes": [f"lane_{lane}"], "start": start, "finish": start + timedelta(hours=hours), "cost": cost
    }  # fmt: skip


def _weather(draw: random.Random, days: int) -> HourlySeries:
    """Return mild hours with a daily wave, some windy ones, and showers about one hour in twelve."""
    hours = np.arange(24 * (days + 3))
    rng = np.random.default_rng(draw.randrange(1 << 30))
    slow = np.convolve(rng.normal(0, 12, len(hours) + 47), np.ones(48) / 48, mode="valid")
    season = 10 + 6 * np.sin(np.pi * hours / (24 * 150))
    wave = 4 * np.sin(2 * np.pi * (hours % 24 - 9) / 24)
    rain = np.where(np.convolve(rng.random(len(hours) + 3) < 0.022, np.ones(4), mode="valid") > 0, 0.6, 0.0)
    return HourlySeries(
        start=datetime.combine(FIRST_DAY - timedelta(days=1), time(0), UTC),
        air_c=season + wave + slow,
        humidity_pct=np.clip(72 - 3 * wave + np.where(rain > 0, 12, 0), 20, 98),
        rain_mm=rain,
        wind_ms=np.clip(3.5 + 0.4 * wave + 0.5 * slow, 0, 25),
        cloud_pct=np.where(rain > 0, 95.0, 55.0),
        source="made",
    )
