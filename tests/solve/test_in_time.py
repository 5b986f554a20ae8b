"""Whether jobs can end by a slot: by parts of them, against the exact model over the whole job."""

from __future__ import annotations

import pytest

from planner.audit.check import audit
from planner.closures.planning import plan_once
from planner.model import Aim, Plan, PlanStatus
from planner.solve.in_time import InTime, Question
from tests.closures.jobs import random_job, with_quicker_way
from tests.closures.test_trade_off import exact_finish

SEEDS = (0, 1, 2, 3, 6, 7)
NIGHTS = 60.0


def _plan(seed: int) -> Plan:
    plan = plan_once(*random_job(seed), 5.0, 5, 1).plan
    assert plan is not None
    return plan


@pytest.mark.parametrize("seed", SEEDS)
def test_a_part_refutes_only_what_the_whole_job_can_t_do(seed: int) -> None:
    job, weather = random_job(seed)
    best, known = exact_finish(job, weather), _plan(seed)
    assert best is not None
    for latest in range(best - 3, best + 2):
        for element in job.elements:
            question = Question(job, latest, frozenset({element.id}), known)
            asking = InTime(weather, lambda: False)
            found = asking.answer(question, NIGHTS)
            assert not (found.proved and latest >= best)
            assert not (asking.is_refuted(question) and latest >= best)
            if found.plan is not None:
                assert best <= found.plan.finish <= latest
                assert audit(job, weather, found.plan) == ()
        every = frozenset(element.id for element in job.elements)
        whole = InTime(weather, lambda: False).answer(Question(job, latest, every, known), NIGHTS)
        assert (whole.plan is None, whole.proved) == (latest < best, latest < best)


def test_a_quicker_way_counts_before_anything_is_proved() -> None:
    job, weather = with_quicker_way(3.5)
    nothing = Plan(job.job.name, PlanStatus.FEASIBLE, Aim.FINISH, 0.0, 0.0, ())
    found = InTime(weather, lambda: False).answer(Question(job, 96, frozenset({"E0"}), nothing), NIGHTS)
    assert found.plan is not None
    assert {placed.alternative for placed in found.plan.placements} == {None, "quick"}
    early = InTime(weather, lambda: False).answer(Question(job, 40, frozenset({"E0"}), nothing), NIGHTS)
    assert early.proved


def test_nothing_is_proved_where_it_was_given_up() -> None:
    job, weather = random_job(SEEDS[0])
    question = Question(job, 1, frozenset({"E0"}), _plan(SEEDS[0]))
    assert not InTime(weather, lambda: True).answer(question, NIGHTS).proved
