"""The trade-off's steps equal full enumeration: every set of closures planned exactly, by another method."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations
from time import monotonic

import pytest

from planner.audit.check import audit
from planner.closures import planning
from planner.closures.planning import Planner
from planner.closures.states import usable, with_only
from planner.closures.trade_off import TradeOff, by_money, by_number
from planner.model import Aim, Job
from planner.problem.build import build_problem
from planner.solve.exact import Limits, Verdict, solve_exactly
from planner.solve.exact_scope import whole_scope
from planner.solve.schedule import make_workshop
from planner.weather.job_weather import JobWeather
from tests.closures.jobs import closure, random_fields, random_job, with_weather
from tests.jobs import make_job

JOBS = 50
ROUNDS = (20, 60)


def exact_finish(job: Job, weather: JobWeather) -> int | None:
    """Return the earliest finish of all, by the exact model over the whole job; None where there is no plan."""
    scope = whole_scope(make_workshop(build_problem(job, weather)))
    found = solve_exactly(scope, Aim.FINISH, Limits(60.0), lambda: False)
    assert found.verdict in (Verdict.BEST, Verdict.NONE)
    return None if found.bound is None else round(found.bound)


def enumerated(job: Job, weather: JobWeather) -> dict[frozenset[str], int]:
    """Return the earliest finish with each set of closures that has a plan."""
    ids = usable(job)
    sets = [frozenset(some) for size in range(len(ids) + 1) for some in combinations(ids, size)]
    finishes = {some: exact_finish(with_only(job, some), weather) for some in sets}
    return {some: finish for some, finish in finishes.items() if finish is not None}


def stairs(prices: Iterator[tuple[float, int]]) -> list[tuple[float, int]]:
    """Return the (price, finish) pairs that no other pair of no higher price reaches or betters."""
    found: list[tuple[float, int]] = []
    for price, finish in sorted(prices):
        if not found or finish < found[-1][1]:
            found.append((price, finish))
    return found


def pairs(trade_off: TradeOff) -> list[tuple[float, int]]:
    return [(step.price, step.plan.finish) for step in trade_off.steps]


def planner_for(job: Job, weather: JobWeather) -> Planner:
    return Planner(job, weather, math.inf)


@pytest.mark.parametrize("seed", range(JOBS))
def test_both_trade_offs_are_those_of_full_enumeration(seed: int) -> None:
    job, weather = random_job(seed)
    finishes = enumerated(job, weather)
    planner = planner_for(job, weather)
    numbered, priced = by_number(planner, rounds=ROUNDS), by_money(planner, rounds=ROUNDS)
    money = {some: sum(job.closure(id).cost for id in some) for some in finishes}
    assert pairs(numbered) == stairs((float(len(some)), finish) for some, finish in finishes.items())
    assert pairs(priced) == stairs((money[some], finish) for some, finish in finishes.items())
    for step in (*numbered.steps, *priced.steps):
        assert audit(job, weather, step.plan) == ()
        assert step.plan.closures_used == tuple(sorted(step.closures))
        assert step.floor <= step.plan.finish
        assert step.proved == (step.floor == step.plan.finish)


@pytest.mark.parametrize("seed", range(0, JOBS, 6))
def test_with_too_many_sets_to_look_at_nothing_is_claimed_that_is_not_so(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As if three closures were many: steps are whole plans, and one called proved is that of full enumeration."""
    monkeypatch.setattr(planning, "MOST_SETS", 3)
    monkeypatch.setattr(planning, "MOST_LISTED", 1)
    job, weather = random_job(seed)
    finishes = enumerated(job, weather)
    planner = planner_for(job, weather)
    planner.attempt(planner.every, ROUNDS[0])
    numbered = by_number(planner, rounds=ROUNDS)
    assert bool(numbered.steps) == bool(finishes)
    for step in numbered.steps:
        best = min(finish for some, finish in finishes.items() if len(some) <= len(step.closures))
        assert audit(job, weather, step.plan) == ()
        assert step.floor <= best <= step.plan.finish
        assert not step.proved or step.plan.finish == best
    assert not numbered.complete


def test_the_random_jobs_are_not_all_alike() -> None:
    """Some have no plan, some a step or two, some more: otherwise the comparison would show little."""
    lengths = {}
    for seed in range(JOBS):
        planner = planner_for(*random_job(seed))
        lengths[seed] = len(by_number(planner, rounds=(20,)).steps)
    assert set(lengths.values()) >= {0, 1, 2}


def test_agreed_closures_come_first_where_the_finish_is_the_same() -> None:
    fields = random_fields(0)
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["elements"] = [{**fields["elements"][0], "lanes": ["L1"]}]
    # Two closures with the same times: only the state tells them apart; the cheaper one is not agreed.
    fields["closures"] = [closure("WANTED", 20, 9, cost=10), closure("AGREED", 20, 9, cost=90, state="agreed")]
    step = by_number(planner_for(*with_weather(make_job(fields)))).steps[0]
    assert step.closures == ("AGREED",)
    assert step.proved


def test_what_is_proved_is_said_only_when_nothing_is_left_to_look_at() -> None:
    """With no time at all nothing is planned, so no plan is shown and nothing is claimed."""
    seed = next(seed for seed in range(JOBS) if by_number(planner_for(*random_job(seed)), rounds=(20,)).steps)
    job, weather = random_job(seed)
    trade_off = by_number(Planner(job, weather, monotonic() - 1))
    assert trade_off.steps == ()
    assert not trade_off.complete
