"""First plans where orders of work find none: closures that their work fills to the quarter of an hour.

A plan is there by construction: each closure is as long as the stretches that were drawn for it, some of them only
in their quicker way.
"""

from __future__ import annotations

import random

import pytest

from planner.audit.check import audit
from planner.model import Aim, Job
from planner.solve.as_plan import make_plan
from planner.solve.first_exactly import MOST_TASKS, First, first_exactly
from planner.solve.options import NOTHING_CHOSEN, Ways
from planner.solve.run import solve_job
from planner.weather.job_weather import JobWeather
from tests.closures.jobs import AROUND_THE_CLOCK, closure, with_weather
from tests.jobs import Fields, element, gang, make_job, method, operation, road_fields, steady_days

CONES_H = 1.25
"""45 min to set out and 30 min to clear."""


def packed(seed: int, off_road: int = 0) -> tuple[Job, JobWeather]:
    """Return a job whose closures are as long as what is done in them; off_road: elements beside it."""
    draw, fields = random.Random(seed), road_fields()
    methods: list[Fields] = []
    closures: list[Fields] = []
    count, gangs = draw.randint(2, 4), draw.randint(1, 2)
    fields["job"]["days"] = days = 14
    for number in range(count):
        longest = 0.0
        for _ in range(gangs):
            stretches = [_stretch(draw, f"M{len(methods) + place}") for place in range(draw.randint(2, 4))]
            methods += [made for made, _ in stretches]
            longest = max(longest, sum(hours for _, hours in stretches))
        closures.append(closure(f"C{number}", 10 + 48 * number, longest + CONES_H, cost=100))
    elements = [element(f"E{one['id']}", lanes=["L1"], method=one["id"]) for one in methods]
    draw.shuffle(elements)
    for number in range(off_road):
        methods.append(method(*(operation(f"step{place}", 1.0) for place in range(13))) | {"id": f"O{number}"})
        elements.append(element(f"O{number}", method=f"O{number}"))
    more = ["G9"] if off_road else []
    return with_weather(
        make_job(
            fields
            | {
                "forecast": {"days": steady_days(days)},
                "lanes": [{"id": "L1", "name": "Lane 1"}],
                "gangs": [gang(id, shifts=[AROUND_THE_CLOCK]) for id in (*(f"G{n}" for n in range(gangs)), *more)],
                "methods": methods,
                "elements": elements,
                "closures": closures,
            }
        )
    )


def _stretch(draw: random.Random, id: str) -> tuple[Fields, float]:
    """Return a method of one exposed stretch, and its hours in the quickest way."""
    saw, header = draw.choice((0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.25)), draw.choice((0.5, 0.75, 1.0))
    more: Fields = {}
    if draw.random() < 0.5:
        more = {"alternatives": [{"id": "quick", "name": "Quick", "hours": header, "cost": 50}]}
    usual = header + (draw.choice((0.5, 1.0)) if more else 0.0)
    made = method(
        operation("saw", saw, lanes_shut=True),
        operation("header", usual, lanes_shut=True, **more),
        exposed=[{"name": "open", "first": "saw", "last": "header"}],
    )
    return made | {"id": id}, saw + header


@pytest.mark.parametrize("seed", range(6))
def test_a_plan_that_is_there_is_found(seed: int) -> None:
    job, weather = packed(seed)
    plan = solve_job(job, weather, seconds=60, trials=5).plan
    assert plan is not None
    assert audit(job, weather, plan) == ()


def _searched(job: Job, weather: JobWeather) -> tuple[Ways, First]:
    ways = Ways(job, weather)
    found = first_exactly(ways, NOTHING_CHOSEN, 60.0, lambda: False)
    assert found is not None
    return ways, found


@pytest.mark.parametrize("seed", [0, 1])
def test_another_way_is_taken_where_the_usual_one_does_not_fit(seed: int) -> None:
    job, weather = packed(seed)
    ways, found = _searched(job, weather)
    assert "quick" in found.chosen.values()
    plan = make_plan(job, ways.workshop(found.chosen), found.schedule, Aim.FINISH, 0.0)
    assert audit(job, weather, plan) == ()


def test_in_a_longer_job_the_road_is_searched_and_the_rest_laid_around_it() -> None:
    job, weather = packed(2, off_road=12)
    ways, found = _searched(job, weather)
    workshop = ways.workshop(found.chosen)
    assert len(workshop.problem.tasks) > MOST_TASKS
    assert len(found.schedule.placed) == len(workshop.problem.tasks)
    plan = make_plan(job, workshop, found.schedule, Aim.FINISH, 0.0)
    assert audit(job, weather, plan) == ()


def test_nothing_is_found_where_there_is_nothing_or_no_time() -> None:
    job, weather = packed(1)
    assert first_exactly(Ways(job, weather), NOTHING_CHOSEN, 0.0, lambda: False) is None
    assert first_exactly(Ways(job, weather), NOTHING_CHOSEN, 60.0, lambda: True) is None
    none = job.model_copy(update={"closures": job.closures[:-1]})
    assert first_exactly(Ways(none, weather), NOTHING_CHOSEN, 60.0, lambda: False) is None
