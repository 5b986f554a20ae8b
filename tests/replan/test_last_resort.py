"""Where no plan keeps every gap of later work, one that lets one gap go is offered, and only that.

Prime one day and coat the next, 20 to 30 h later; the second and the fourth day are too cold for either::

    Mon mild   Tue cold   Wed mild   Thu cold
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.audit.check import audit
from planner.cli.replan import _answer
from planner.findings import Weight
from planner.jobfile.load import LoadedJob
from planner.model import Job, Plan, PlanStatus
from planner.replan.plain import answer_to_plain, sight_to_plain
from planner.replan.replan import Replanned, replan
from planner.replan.sights import Sight, answer_from_plain, sight_from_plain
from planner.weather.job_weather import JobWeather
from tests import jobs
from tests.audit.feature_job import weather_of
from tests.replan.cold import DAYS, mild, planned
from tests.solve.conftest import main_job

__all__ = ["main_job"]

PRIME, COAT = "E1/prime", "E1/coat"


def walls(most_h: float = 30.0) -> Job:
    """Return two walls; the first is primed and coated, the second only primed."""
    limit = {"conditions": {"surface_c": [8, 30]}}
    fields = jobs.small_fields()
    fields["job"]["days"] = DAYS
    fields["forecast"] = {"days": jobs.steady_days(DAYS)}
    fields["gangs"] = [
        jobs.gang(shifts=[{"name": "Short", "rule": "FREQ=DAILY", "start": "08:00", "finish": "11:00"}])
    ]
    fields["elements"] = [jobs.element("E1"), jobs.element("E2", omit=["coat"])]
    gap = {"after": "prime", "before": "coat", "not_before_h": 20.0, "not_after_h": most_h, "remedy": "Prime again."}
    fields["methods"] = [
        jobs.method(jobs.operation("prime", 1.0, **limit), jobs.operation("coat", 1.0, **limit), gaps=[gap])
    ]
    return jobs.make_job(fields)


def cold(job: Job) -> JobWeather:
    """Return weather in which nothing goes on on the second and the fourth day."""
    surface = np.full(job.time.horizon + 1, 15.0)
    for day in (1, 3):
        surface[day * 96 : (day + 1) * 96] = 3.0
    return weather_of(job, {"surface_c": surface})


@pytest.fixture(scope="module")
def found() -> tuple[Job, Plan, Replanned]:
    job = walls()
    old = planned(job, mild(job))
    return job, old, replan(job, cold(job), old, trials=20)


def test_the_gap_is_let_go_and_all_else_is_kept(found: tuple[Job, Plan, Replanned]) -> None:
    job, _, came = found
    assert all(one.plan is None for one in came.answers if not one.way.let_go)
    [last] = [one for one in came.answers if one.way.let_go]
    assert [(gap.after, gap.before) for gap in last.way.let_go] == [(PRIME, COAT)]
    assert "BREAKS A RULE" in last.way.words
    assert last.plan is not None
    broken = [one for one in audit(job, cold(job), last.plan) if one.weight is Weight.BREACH]
    assert [(one.code, one.place) for one in broken] == [("gap-late", COAT)]
    assert tuple(broken) == last.standing
    assert not last.proved
    assert last.plan.status is PlanStatus.FEASIBLE


def test_it_is_never_the_answer_by_itself(found: tuple[Job, Plan, Replanned]) -> None:
    assert found[2].best is None


def test_the_window_sees_it_last_and_not_as_the_best(found: tuple[Job, Plan, Replanned]) -> None:
    job, _, came = found
    sight: Sight = sight_from_plain(sight_to_plain(replace(came, ways=came.ways[:1]), job), job)
    for one in (came.answers[0], came.answers[-1]):
        sight = sight.with_answer(answer_from_plain(answer_to_plain(one, job), job))
    assert sight.best is None
    assert [one.lets_go for one in sight.answers] == [False, True]
    assert [name for name, _ in sight.ways] == [came.answers[0].way.name, came.answers[-1].way.name]


def test_the_command_line_takes_it_only_when_asked(found: tuple[Job, Plan, Replanned], main_job: LoadedJob) -> None:
    job, _, came = found
    loaded = replace(main_job, job=job, weather=cold(job))
    kept = _answer(loaded, came, None, None, gone=False)
    assert kept.code == 1
    assert any("With one gap let go (--let-go)" in line and "Prime again." in line for line in kept.remarks)
    taken = _answer(loaded, came, None, None, gone=True)
    assert taken.code == 0
    assert any("BREAKS A RULE" in line for line in taken.lines)
    assert any("gap-late" in line for line in taken.lines)


def test_where_the_gap_can_be_kept_nothing_is_let_go() -> None:
    job = walls(most_h=60.0)
    came = replan(job, cold(job), planned(job, mild(job)), trials=20)
    assert came.best is not None
    assert not any(one.way.let_go for one in came.answers)
