"""A schedule as a plan: work that goes on at once is one visit."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from planner.audit.check import audit
from planner.model import Aim
from planner.problem.build import build_problem
from planner.problem.parts import Visit
from planner.solve.as_plan import make_plan
from planner.solve.schedule import Workshop, make_workshop
from planner.solve.search import Search
from tests import jobs
from tests.audit.feature_job import weather_of

LONG = {"name": "Day", "rule": "FREQ=DAILY", "start": "07:00", "finish": "17:00"}
EVENING = {"name": "Evening", "rule": "FREQ=DAILY", "start": "17:00", "finish": "20:00"}


@pytest.mark.parametrize(
    ("saws", "cuts", "visits"),
    [
        (1, (28, 32, 36), [(28, 36)]),
        (1, (28, 30, 33, 36), [(28, 36)]),
        (1, (64, 68, 72), [(64, 68), (68, 72)]),  # the second lies in another shift of the gang
        (2, (28, 32, 36), [(28, 32), (32, 36)]),  # another saw may have taken over
    ],
)
def test_work_cut_for_nothing_is_one_visit(saws: int, cuts: tuple[int, ...], visits: list[tuple[int, int]]) -> None:
    fields = jobs.small_fields() | {
        "plant": [{"id": "saw", "name": "Saw", "count": saws}],
        "gangs": [jobs.gang(shifts=[LONG, EVENING])],
        "methods": [jobs.method(jobs.operation("work", 2.0, visits="many", plant=["saw"]))],
    }
    job = jobs.make_job(fields)
    weather = weather_of(job, {})
    workshop: Workshop = make_workshop(build_problem(job, weather))
    search = Search(workshop, Aim.FINISH, 1, lambda: False)
    schedule = search.first()
    assert schedule is not None
    (placed,) = schedule.placed
    pieces = tuple(Visit(first, after, None) for first, after in pairwise(cuts))
    cut = replace(schedule, placed=(replace(placed, visits=pieces),))
    plan = make_plan(job, workshop, cut, Aim.FINISH, 0.0)
    assert [(one.start, one.finish) for one in plan.placements] == visits
    assert [one.visit for one in plan.placements] == list(range(1, len(visits) + 1))
    assert audit(job, weather, plan) == ()
