"""The gang that waits, in weathers steady enough to work it out by hand."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from planner.model import Job, Plan
from planner.risk.ahead import wait
from planner.risk.chances import Chance, finish_of
from planner.risk.members import Members
from planner.risk.risk import member_risk
from planner.risk.scene import Begun, Scene
from planner.solve.run import solve_job
from tests import jobs
from tests.audit.feature_job import weather_of


def on_air(fields: jobs.Fields) -> Job:
    """Return the job with every curve driven by the air."""
    for product in fields["products"]:
        for curve in product["curves"].values():
            curve["temperature"] = "air"
    return jobs.make_job(fields)


def at(job: Job, *air_c: float) -> Members:
    """Return one member a steady temperature."""
    columns = np.repeat(np.array(air_c)[:, None], job.time.horizon + 1, axis=1)
    return Members(weather_of(job, {"air_c": 20.0}).with_air(columns))


def warm_plan(job: Job) -> Plan:
    """Return the plan at 20 °C."""
    plan = solve_job(job, weather_of(job, {"air_c": 20.0}), seconds=20, trials=100).plan
    assert plan is not None
    return plan


def test_the_wall_waits_for_its_coats_inside_its_shifts() -> None:
    """Prime Mon 07-09, then by hand, recoat after 2, 5, 8 h and burying after 24, 48, 72 h at 20, 10 and 5 °C::

    20 °C  coat Mon 11-14   open Tue 14:00, but 4 h are no more in that shift: Wed 07-11
    10 °C  coat Mon 14-17   open Wed 17:00                                    Thu 07-11
     5 °C  open Mon 17:00: coat Tue 07-10   open Fri 10:00                    Fri 10-14
    """
    job = on_air(jobs.small_fields())
    plan, members = warm_plan(job), at(job, 20.0, 10.0, 5.0)
    waiting = wait(Scene(job, plan, members))
    assert waiting.end("E1/coat", "start").tolist() == [44, 56, 96 + 28]
    assert waiting.end("E1/backfill", "start").tolist() == [2 * 96 + 28, 3 * 96 + 28, 4 * 96 + 40]
    found = member_risk(job, plan, members)
    assert (found.finish.p50, found.finish.p80) == (3 * 96 + 44, 4 * 96 + 56)
    assert [one.planned.held for one in found.gaps] == [1, 1]
    assert [one.waiting.held for one in found.gaps] == [3, 3]
    assert (found.all_planned.held, found.all_waiting.held) == (1, 3)


def test_who_waits_may_come_too_late() -> None:
    """The gap shuts 10 h after priming whatever the air: at 5 °C it opens at 17:00 and the next shift is too late."""
    fields = jobs.small_fields()
    fields["products"][0]["curves"]["recoat"]["not_after"] = [[-20, 10]]
    job = on_air(fields)
    found = member_risk(job, warm_plan(job), at(job, 20.0, 10.0, 5.0))
    assert [one.waiting.held for one in found.gaps] == [2, 3]
    assert found.all_waiting.held == 2
    assert found.finish.in_job.held == 3


def test_what_is_not_done_in_the_job_has_no_finish() -> None:
    fields = jobs.small_fields()
    fields["job"]["days"] = 4
    fields["forecast"] = {"days": jobs.steady_days(4)}
    job = on_air(fields)
    found = member_risk(job, warm_plan(job), at(job, 20.0, 5.0, 5.0))
    assert (found.finish.p50, found.finish.p80) == (None, None)
    assert found.finish.in_job == Chance(1, 3)
    assert found.all_waiting.held == 1


def test_a_mortar_too_slow_for_the_night_reopens_late_waiting_or_not() -> None:
    """Broken out 21:45, placed by 00:45; fit at 02:45 at 20 °C, at 08:45 at 5 °C; cones are lifted from 04:30."""
    job = on_air(jobs.road_fields())
    found = member_risk(job, warm_plan(job), at(job, 20.0, 5.0))
    assert [(one.closure, one.planned.held, one.waiting.held) for one in found.reopenings] == [("C1", 1, 1)]


def test_a_stretch_that_no_longer_fits_is_left_for_the_next_closure() -> None:
    """Coring 20-21, and the saw may follow after 2 h or 8 h: 23:00 in the first night, or 05:00, so in the second."""
    fields = jobs.road_fields()
    fields["products"][0]["curves"] = {
        "traffic": {"not_before": [[-20, 1]]},
        "dry": {"not_before": [[5, 8], [20, 2]]},
    }
    method = fields["methods"][0]
    method["operations"].insert(0, jobs.operation("core", 1.0))
    method["gaps"] = [{"after": "core", "before": "saw", "product": "mortar", "curve": "dry"}]
    job = on_air(fields)
    plan, members = warm_plan(job), at(job, 20.0, 5.0)
    assert plan.visits_of("E1/saw")[0].start == 92
    waiting = wait(Scene(job, plan, members))
    assert waiting.end("E1/saw", "start").tolist() == [92, 2 * 96 + 87]
    found = member_risk(job, plan, members)
    assert [one.waiting.held for one in found.reopenings] == [2]
    assert found.finish.p80 == 2 * 96 + 87 + 12


def test_a_stretch_that_would_not_be_fit_is_left_for_a_warmer_night() -> None:
    """At 5 °C until Tuesday noon the mortar would be fit at 08:45, too late for the cones; the next night is warm."""
    job = on_air(jobs.road_fields())
    plan = warm_plan(job)
    cold = np.where(np.arange(job.time.horizon + 1) < 96 + 48, 5.0, 20.0)
    courses = np.stack([np.full_like(cold, 20.0), cold, np.full_like(cold, 5.0)])
    members = Members(weather_of(job, {"air_c": 20.0}).with_air(courses))
    waiting = wait(Scene(job, plan, members))
    starts = waiting.end("E1/saw", "start").tolist()
    assert starts[0] == plan.visits_of("E1/saw")[0].start < 96 + 48
    assert starts[1] > 2 * 96
    assert starts[2] == starts[0]  # no night is warm enough: it begins all the same, and is late
    found = member_risk(job, plan, members)
    assert [(one.planned.held, one.waiting.held) for one in found.reopenings] == [(1, 2)]


@pytest.mark.parametrize(("curve", "start"), [(None, 96 + 32), ("recoat", 2 * 96 + 28)])
def test_a_gap_that_has_shut_is_mended_where_the_job_offers_a_remedy(curve: str | None, start: int) -> None:
    """As in the test of who comes too late: at 5 °C the gang stands there on Tuesday at 07:00, and primes for 1 h.

    Where the new primer has to dry as long as the old, 8 h, no 3 h are left of Tuesday.
    """
    fields = jobs.small_fields()
    fields["products"][0]["curves"]["recoat"]["not_after"] = [[-20, 10]]
    work = {"id": "reprime", "name": "Prime again", "skill": "coat", "hours": 1.0}
    if curve is not None:
        work |= {"product": "coating", "curve": curve}
    fields["methods"][0]["gaps"][0]["remedy_work"] = work
    job = on_air(fields)
    plan, members = warm_plan(job), at(job, 20.0, 10.0, 5.0)
    assert wait(Scene(job, plan, members)).end("E1/coat", "start").tolist() == [44, 56, start]
    found = member_risk(job, plan, members)
    assert [(one.waiting.held, one.mended.held) for one in found.gaps] == [(3, 1), (3, 0)]
    assert found.all_waiting.held == 3


def test_while_one_wall_waits_its_gang_goes_on_with_the_other() -> None:
    """As in the first test; the second wall, half an hour away, is to be primed Mon 14:30, once the first is coated.

    7 °C   the first wall's coat must wait for Tue 07:00, and the second is primed on Monday all the same
    12 °C  the first wall is coated Mon 13:15-16:15, and the second must wait for Tuesday
    """
    fields = jobs.small_fields()
    fields["structures"].append({"id": "S2", "name": "Structure 2"})
    fields["elements"] = [jobs.element("E1"), jobs.element("E2", structure="S2")]
    fields["gangs"] = [jobs.gang(move_min=30)]
    job = on_air(fields)
    plan, members = warm_plan(job), at(job, 20.0, 12.0, 7.0)
    waiting = wait(Scene(job, plan, members))
    assert waiting.end("E1/coat", "start").tolist() == [44, 53, 96 + 28]
    assert waiting.end("E2/prime", "start").tolist() == [58, 96 + 28, 58]
    for one, other in combinations(waiting.scene.order, 2):
        apart = 2 if one.operation[:2] != other.operation[:2] else 0
        first = waiting.finish(one) + apart <= waiting.start(other)
        assert (first | (waiting.finish(other) + apart <= waiting.start(one))).all()
    for visit in waiting.scene.order:
        assert (waiting.start(visit) >= visit.start).all()
        assert waiting.start(visit)[0] == visit.start


def test_what_is_recorded_stands_in_every_member_and_nothing_else_begins_before_now() -> None:
    """The wall was primed Mon 07:00-09:00, and it is Wed 09:00: at 20 °C the coat, long open, goes on then."""
    job = on_air(jobs.small_fields())
    plan, members = warm_plan(job), at(job, 20.0, 5.0)
    begun = Begun(2 * 96 + 36, frozenset({"E1/prime"}))
    waiting = wait(Scene(job, plan, members, begun))
    assert waiting.end("E1/prime", "start").tolist() == [28, 28]
    assert waiting.end("E1/coat", "start").tolist() == [2 * 96 + 36] * 2


@pytest.mark.parametrize(("held", "members", "error"), [(50, 100, 0.05), (0, 10, 0.0), (10, 10, 0.0), (1, 4, 0.2165)])
def test_the_sampling_error_is_the_binomials(held: int, members: int, error: float) -> None:
    assert Chance(held, members).standard_error == pytest.approx(error, abs=1e-4)


def test_quantiles_are_the_least_finish_that_so_many_have_reached() -> None:
    found = finish_of(np.array([10, 50, 20, 40, 30]), horizon=45)
    assert (found.p50, found.p80, found.in_job.held) == (30, 40, 4)
    assert finish_of(np.array([50, 10]), horizon=45).p80 is None


def test_the_colder_it_is_the_later_all_is_done() -> None:
    job = on_air(jobs.small_fields())
    plan = warm_plan(job)
    finishes = wait(Scene(job, plan, at(job, *np.linspace(20.0, 5.0, 31)))).finishes
    assert (np.diff(finishes) >= 0).all()
