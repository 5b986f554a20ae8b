"""What no plan goes below, told by a process: the same as planning says of its own plan."""

from __future__ import annotations

import io
import os
import threading
from pathlib import Path

import tomlkit

from planner.jobfile.load import load_job
from planner.model import Floors
from planner.solve.floors_worker import serve
from planner.solve.messages import FloorsFound, FloorsRequest, from_line, to_line
from planner.solve.run import solve_job
from tests.closures.jobs import random_fields
from tests.site_record.cases import PRIME, entry, wall_fields


def asked(request: FloorsRequest) -> FloorsFound:
    """Return the answer to a line on a pipe that stays open; the watch on it has ended before the pipe goes."""
    out, (reading, writing), before = io.StringIO(), os.pipe(), set(threading.enumerate())
    with open(reading, encoding="utf-8") as stdin, open(writing, "w", encoding="utf-8") as asking:
        asking.write(to_line(request) + "\n")
        asking.flush()
        assert serve(stdin, out) == 0
        asking.close()
        for watching in set(threading.enumerate()) - before:
            watching.join()
    message = from_line(out.getvalue().splitlines()[-1])
    assert isinstance(message, FloorsFound)
    return message


def test_the_floors_are_those_that_planning_tells(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(tomlkit.dumps(random_fields(2)), "utf-8")
    loaded = load_job(path)
    plan = solve_job(loaded.job, loaded.weather, seconds=20, trials=20, floors=True).plan
    assert plan is not None
    found = asked(FloorsRequest(3, str(path)))
    assert found.run == 3
    assert Floors(**found.floors) == plan.floors


def test_with_a_record_they_are_of_what_is_left(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(tomlkit.dumps(wall_fields(entry(PRIME, started="07:00", finished="09:00"))), "utf-8")
    left = Floors(**asked(FloorsRequest(1, str(path), now=4 * 24 * 60)).floors)
    path.write_text(tomlkit.dumps(wall_fields()), "utf-8")
    whole = Floors(**asked(FloorsRequest(1, str(path))).floors)
    assert whole.finish_days is not None
    assert left.finish_days is not None
    assert left.finish_days > 4 > whole.finish_days


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    found = asked(FloorsRequest(1, str(tmp_path / "none.toml")))
    assert not found.floors
    assert found.reasons
