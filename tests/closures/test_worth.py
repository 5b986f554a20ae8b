"""What a closure is worth: its least length and what its refusal loses, against the exact model."""

from __future__ import annotations

import math

import pytest

from planner.audit.check import audit
from planner.closures.lengths import FINISH_FIRST, START_FIRST, least_length, shortened
from planner.closures.planning import Planner, plan_once
from planner.closures.refusals import hastened, refusal, sharpened
from planner.closures.states import replaced, with_only, without
from planner.closures.study import study
from planner.closures.trade_off import by_number
from planner.intervals import Interval
from planner.model import ClosureState
from tests.closures.jobs import closure, random_fields, random_job, with_weather
from tests.closures.test_trade_off import exact_finish
from tests.jobs import make_job

SEEDS = (1, 2, 6)
ROUNDS = (20, 60)


@pytest.mark.parametrize("ends", [FINISH_FIRST, START_FIRST])
@pytest.mark.parametrize("seed", SEEDS)
def test_a_slot_less_at_either_end_has_no_plan_as_early(seed: int, ends: tuple[str, ...]) -> None:
    job, weather = random_job(seed)
    planner = Planner(job, weather, math.inf)
    steps = by_number(planner, rounds=ROUNDS).steps
    assert steps
    step = steps[0]
    used = planner.bits(frozenset(step.closures))
    for id in step.closures:
        least = least_length(planner, used, id, step.plan, ends)
        window, own = least.window, job.closure(id)

        def cut(start: int, finish: int, own: object = own) -> int | None:
            short = shortened(job, job.closure(own.id), Interval(start, finish))  # type: ignore[attr-defined]
            return exact_finish(replaced(with_only(job, step.closures), short), weather)

        assert (least.sought, least.start_proved, least.finish_proved) == (True, True, True)
        assert cut(window.start, window.finish) == step.plan.finish == least.plan.finish
        for start, finish in ((window.start + 1, window.finish), (window.start, window.finish - 1)):
            later = cut(start, finish)
            assert later is None or later > step.plan.finish
        at_length = replaced(with_only(job, step.closures), shortened(job, own, window))
        assert audit(at_length, weather, least.plan) == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_refusal_loses_is_what_planning_without_it_gives(seed: int) -> None:
    job, weather = random_job(seed)
    planner = Planner(job, weather, math.inf)
    step = by_number(planner, rounds=ROUNDS).steps[0]
    used = planner.bits(frozenset(step.closures))
    for id in step.closures:
        found = refusal(planner, used, id, step.plan)
        best = exact_finish(without(job, [id]), weather)
        if best is None:
            assert (found.second, found.earliest) == (None, None)
            assert found.proved_none
            continue
        assert found.second is not None
        assert found.earliest is not None
        assert found.earliest.plan.finish >= best
        assert found.earliest.slots_lost == found.earliest.plan.finish - step.plan.finish
        assert id not in found.second.closures
        assert set(found.second.added).isdisjoint(step.closures)


def test_four_nights_and_one_weekend_is_answered_by_planning_again() -> None:
    fields = random_fields(0)
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["elements"] = [{**fields["elements"][0], "lanes": ["L1"]}]
    fields["closures"] = [closure("EARLY", 10, 9), closure("LATE", 40, 9), closure("SHORT", 60, 2)]
    job, weather = with_weather(make_job(fields))
    free = study(job, weather, seconds=10)
    given = study(job, weather, only=["LATE", "SHORT"], seconds=10)
    assert free.recommended is not None
    assert given.recommended is not None
    assert (free.recommended.closures, given.recommended.closures) == (("EARLY",), ("LATE",))
    assert [one.id for one in given.job.closures if one.state is ClosureState.REFUSED] == ["EARLY"]
    assert study(job, weather, refused=["EARLY"], seconds=10).recommended == given.recommended
    none = study(job, weather, only=["SHORT"], seconds=10)
    assert none.recommended is None
    assert none.proved_none
    assert none.missing == ("EARLY",)
    assert any("E0" in reason for reason in none.reasons)


def test_plans_are_compared_by_what_finish_and_closures_settle() -> None:
    """Two nights alike, one agreed and one not: refusing either costs nothing, whatever the crews of the plans."""
    fields = random_fields(0)
    fields["lanes"] = [{"id": "L1", "name": "Lane 1"}]
    fields["elements"] = [{**fields["elements"][0], "lanes": ["L1"]}]
    dear = closure("WANTED", 10, 9, state="wanted", cost=300)
    fields["closures"] = [dear, closure("AGREED", 10, 9, state="agreed", cost=300), closure("LATE", 40, 9, cost=100)]
    job, weather = with_weather(make_job(fields))
    found = study(job, weather, take=1, seconds=10)
    assert found.recommended is not None
    assert found.recommended.closures == ("AGREED",)
    refusal_of = found.worths[0].refusal
    assert refusal_of is not None
    assert refusal_of.second is not None
    assert (refusal_of.second.added, refusal_of.second.slots_lost, refusal_of.second.money_lost) == (
        ("WANTED",),
        0,
        0,
    )
    late = study(job, weather, refused=["WANTED"], take=1, seconds=10).worths[0].refusal
    assert late is not None
    assert late.second is not None
    days = late.second.terms.calendar_days - found.recommended.terms.calendar_days
    assert late.second.added == ("LATE",)
    assert late.second.money_lost == days * job.job.prelims_per_day - 200


@pytest.mark.parametrize("seed", SEEDS)
def test_a_late_second_choice_is_made_as_early_as_its_closures_allow(seed: int) -> None:
    job, weather = random_job(seed)
    planner = Planner(job, weather, math.inf)
    plans = [plan_once(with_only(job, planner.ids(one)), weather, 5.0, 5, 1).plan for one in range(planner.every + 1)]
    late = max((plan for plan in plans if plan is not None), key=lambda plan: plan.finish)
    elements = frozenset(element.id for element in job.elements)
    best = hastened(planner, planner.every, elements, late)
    assert best.finish == exact_finish(job, weather)
    assert audit(job, weather, best) == ()
    id = late.closures_used[0]
    used = planner.bits(frozenset(best.closures_used))
    found = refusal(planner, used, id, best)
    sharp = sharpened(planner, used, id, best, found)
    if found.second is not None:
        assert sharp.second is not None
        assert sharp.second.plan.finish <= found.second.plan.finish
        assert id not in sharp.second.closures
