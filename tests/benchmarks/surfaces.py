"""How long element temperatures take. Run with `python -m tests.benchmarks.surfaces`; prints one JSON object.

BLAS threads make small matrices slower, not faster: OPENBLAS_NUM_THREADS=1 shows the work itself.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

import numpy as np

from planner.model import Facing, SurfaceKind
from planner.weather import JobWeather, make_weather, read_hourly_csv
from planner.weather.surface import element_temperatures
from tests.jobs import make_job, small_fields
from tests.weather.tmy3 import write_hourly_csv

DAYS, ELEMENTS, MEMBERS, MEMBER_KINDS = 35, 20, 1000, 10
FACINGS: tuple[Facing | None, ...] = ("up", "north", "south", "east", "west", None, "down")


def main() -> None:
    """Measure and print."""
    weather = _weather()
    kinds = [_kind(number) for number in range(ELEMENTS)]
    element_temperatures(kinds, weather.around, weather.settings)
    started = perf_counter(), process_time()
    element_temperatures(kinds, weather.around, weather.settings)
    elements_ms = [1000 * (now - then) for now, then in zip((perf_counter(), process_time()), started, strict=True)]
    steps = np.random.default_rng(1).normal(size=(MEMBERS, len(weather.air_c))) * 0.02
    members = weather.with_air(weather.air_c + np.cumsum(steps, axis=1))
    started = perf_counter(), process_time()
    for kind in kinds[:MEMBER_KINDS]:
        members.of_kind(kind)
    members_s = [now - then for now, then in zip((perf_counter(), process_time()), started, strict=True)]
    print(
        json.dumps(
            {
                "days": DAYS,
                "kinds_of_element": ELEMENTS,
                "elements_ms": round(elements_ms[0], 1),
                "elements_cpu_ms": round(elements_ms[1], 1),
                "members": MEMBERS,
                "kinds_in_members": MEMBER_KINDS,
                "members_s": round(members_s[0], 2),
                "members_cpu_s": round(members_s[1], 2),
            }
        )
    )


def _kind(number: int) -> SurfaceKind:
    faces = 2 if number % 3 == 1 else 1
    return SurfaceKind(0.1 + 0.05 * number, faces, "open", FACINGS[number % len(FACINGS)])


def _weather() -> JobWeather:
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": date(2026, 4, 6), "days": DAYS}
    job = make_job(fields)
    with TemporaryDirectory() as folder:
        path = write_hourly_csv(Path(folder) / "real.csv", job.job.first_day, DAYS, job.time.zone)
        return make_weather(job, read_hourly_csv(path, job.time.zone))


if __name__ == "__main__":
    main()
