"""The audit of any plan from the planner is empty: the main job cut, changed and warmed by lot, for each aim."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from planner.audit.check import audit
from planner.audit.gaps import gap_rows
from planner.jobfile.load import load_job
from planner.model import Aim, Element, Job
from planner.solve.run import solve_job

MAIN_JOB = Path(__file__).parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml"


def changed_element(job: Job, element: Element, draw: Random) -> Element:
    """Return the element with another thickness and other amounts, and some operations left out."""
    names = [operation.id for operation in job.method(element.method).operations]
    return element.model_copy(
        update={
            "thickness_m": draw.choice((0.1, 0.2, 0.4, 1.0)),
            "omit": tuple(name for name in names if draw.random() < 0.12),
            "held": draw.random() < 0.2,
            "quantities": {name: amount * draw.uniform(0.3, 1.7) for name, amount in element.quantities.items()},
        }
    )


def changed_job(job: Job, draw: Random) -> Job:
    """Return a job of some of the elements; set-out, clearing and moves that are no whole slots."""
    elements = tuple(changed_element(job, one, draw) for one in draw.sample(job.elements, draw.randint(4, 10)))
    keys = {
        f"{element.id}/{operation.id}"
        for element in elements
        for operation in job.method(element.method).operations
        if operation.id not in element.omit
    }
    times = {"set_out_min": draw.choice((30, 37, 45)), "clear_min": draw.choice((20, 30, 41))}
    return job.model_copy(
        update={
            "elements": elements,
            "links": tuple(link for link in job.links if {link.after, link.before} <= keys),
            "gangs": tuple(gang.model_copy(update={"move_min": draw.choice((0, 20, 45, 60))}) for gang in job.gangs),
            "closures": tuple(closure.model_copy(update=times) for closure in job.closures),
        }
    )


@pytest.mark.parametrize("aim", [Aim.FINISH, Aim.CLOSURES, Aim.COST])
@pytest.mark.parametrize("seed", range(4))
def test_a_plan_of_a_changed_job_is_clean(seed: int, aim: Aim) -> None:
    draw = Random(seed)
    loaded = load_job(MAIN_JOB)
    job = changed_job(loaded.job, draw)
    weather = replace(loaded.weather, air_c=loaded.weather.air_c + draw.uniform(2.0, 9.0), _known={})
    outcome = solve_job(job, weather, aim=aim, seconds=60.0, trials=10, seed=seed)
    assert outcome.plan is not None, outcome.reasons
    assert audit(job, weather, outcome.plan) == ()
    rows = gap_rows(job, weather, outcome.plan)
    assert all(row.spare_open >= 0 and (row.spare_shut is None or row.spare_shut >= 0) for row in rows)
