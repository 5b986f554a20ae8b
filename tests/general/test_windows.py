"""What is proved before any search: never more than is true, and on small cases just what a pencil finds."""

from __future__ import annotations

import pytest

from planner.general import Activity, GeneralProblem, Lag, Resource
from planner.general import distances as distances_module
from planner.general.distances import Contradiction
from planner.general.windows import Tightened, finish_by, safe_horizon, tightened
from planner.intervals import Interval
from tests.general.exhaustive import best_finish, tiny_problem

ONE = (Resource(1),)


def of(known: Tightened) -> list[tuple[int, int]]:
    """Return the windows as pairs."""
    return list(zip(known.earliest.tolist(), known.latest.tolist(), strict=True))


def test_lags_and_the_horizon_make_windows() -> None:
    three = (Activity(2, ()), Activity(3, ()), Activity(9, ()))
    assert of(tightened(GeneralProblem(three, (Lag(0, 1, 2, 4),), horizon=9))) == [(0, 4), (2, 6), (0, 0)]


def test_a_horizon_is_no_later_than_some_schedule_needs() -> None:
    """Lengths or longer least lags, one after another; a greatest lag of -4 is a least one of 4 the other way."""
    two = (Activity(2, ()), Activity(3, ()))
    assert safe_horizon(GeneralProblem(two, (Lag(0, 1, 2, 4),))) == 5
    assert safe_horizon(GeneralProblem(two, (Lag(0, 1, -9, -4),))) == 2 + 4
    assert safe_horizon(GeneralProblem(two, (Lag(0, 1, 7),), (), 8)) == 8
    with_nights = GeneralProblem((Activity(2, (1,)), Activity(3, (0,))), (), (Resource(1, (Interval(4, 7),)),))
    assert safe_horizon(with_nights) == 7 + 5


def test_a_cycle_of_positive_length_has_no_starts() -> None:
    with pytest.raises(Contradiction):
        tightened(GeneralProblem((Activity(1, ()), Activity(1, ())), (Lag(0, 1, 3), Lag(1, 0, -2))))


def test_a_lag_of_an_activity_to_itself_is_true_or_false() -> None:
    tightened(GeneralProblem((Activity(1, ()),), (Lag(0, 0, -1, 0),)))
    with pytest.raises(Contradiction):
        tightened(GeneralProblem((Activity(1, ()),), (Lag(0, 0, 1),)))


def test_more_than_the_capacity_has_no_starts() -> None:
    with pytest.raises(Contradiction):
        tightened(GeneralProblem((Activity(1, (2,)),), (), ONE))


def test_a_pair_apart_is_ordered_where_one_can_not_come_first() -> None:
    """Each lasts 3. Where 1 starts within 1 of 0, neither order is left; where up to 5 after it, one is."""
    pair = (Activity(3, (1,)), Activity(3, (1,)))
    with pytest.raises(Contradiction):
        tightened(GeneralProblem(pair, (Lag(0, 1, -1, 1),), ONE))
    three = (*pair, Activity(8, (0,)))
    known = tightened(GeneralProblem(three, (Lag(0, 1, -1, 5),), ONE, horizon=8))
    assert of(known) == [(0, 2), (3, 5), (0, 0)]


def test_calendars_move_windows_in_and_every_lag_follows() -> None:
    resource = (Resource(1, (Interval(2, 5), Interval(9, 13))),)
    known = tightened(GeneralProblem((Activity(4, (1,)), Activity(1, (0,))), (Lag(0, 1, 4),), resource))
    assert known.earliest.tolist() == [9, 13]


def test_no_interval_long_enough_has_no_starts() -> None:
    with pytest.raises(Contradiction):
        tightened(GeneralProblem((Activity(4, (1,)),), (), (Resource(1, (Interval(0, 3), Interval(4, 7))),)))


def test_the_bound_counts_the_work_on_a_resource() -> None:
    """Six of two units each on a capacity of three: 12 / 3 = 4 after the head of 5 and before the tail of 2."""
    six = tuple(Activity(1, (2,)) for _ in range(6))
    ends = (Activity(5, (0,)), Activity(2, (0,)))
    lags = (*(Lag(6, n, 5) for n in range(6)), *(Lag(n, 7, 1) for n in range(6)))
    assert tightened(GeneralProblem((*six, *ends), lags, (Resource(3),))).bound() == 5 + 4 + 2


def test_nothing_true_is_ever_refuted() -> None:
    for seed in range(150):
        problem = tiny_problem(seed)
        best = best_finish(problem, safe_horizon(problem))
        if best is None:
            continue
        known = tightened(problem)
        assert known.bound() <= best, seed
        finish_by(known, best)


def test_windows_without_pairs_are_the_same_whether_every_pair_is_closed_or_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    refuted = 0
    for seed in range(200):
        problem = _without_demands(tiny_problem(seed))
        closed = _windows(problem)
        with monkeypatch.context() as patch:
            patch.setattr(distances_module, "CLOSED_UP_TO", 0)
            assert _windows(problem) == closed, seed
        refuted += closed is None
    assert 10 < refuted < 190


def test_large_problems_are_refuted_and_ordered_by_windows_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(distances_module, "CLOSED_UP_TO", 0)
    test_a_pair_apart_is_ordered_where_one_can_not_come_first()
    test_nothing_true_is_ever_refuted()


def _without_demands(problem: GeneralProblem) -> GeneralProblem:
    free = tuple(Activity(activity.length, ()) for activity in problem.activities)
    return GeneralProblem(free, problem.lags, (), problem.horizon)


def _windows(problem: GeneralProblem) -> list[tuple[int, int]] | None:
    try:
        return of(tightened(problem))
    except Contradiction:
        return None
