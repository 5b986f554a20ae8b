"""Schedules laid by priority hold; a greatest lag that is passed makes the layer take activities up again."""

from __future__ import annotations

import numpy as np

from planner.general import Activity, GeneralProblem, Lag, Resource
from planner.general.distances import Contradiction
from planner.general.improve import groups, schedules
from planner.general.lay import Layer
from planner.general.windows import tightened
from planner.intervals import Interval
from tests.general.exhaustive import holds, tiny_problem

#   0       ##      All but 3 need the one gang, 2 at 2 to 3 after the start of 0. Laid by number, 1 goes before 2,
#   1 ####          which then comes 3 too late: 0 is taken up and may not start before 3, and again not before 6,
#   2         ##    where 1 fits in front.
WAITING = GeneralProblem(
    (Activity(2, (1,)), Activity(4, (1,)), Activity(2, (1,)), Activity(4, (0,))),
    (Lag(0, 2, 2, 3),),
    (Resource(1),),
)


def test_the_lowest_priority_goes_first() -> None:
    layer = Layer(tightened(GeneralProblem((Activity(2, (1,)), Activity(3, (1,))), (), (Resource(1),))), 9)
    assert layer.lay(np.array([0, 1])) == (0, 2)
    assert layer.lay(np.array([1, 0])) == (3, 0)


def test_what_holds_a_late_activity_back_is_laid_again_later() -> None:
    layer = Layer(tightened(WAITING), 9)
    assert layer.lay(np.array([0, 1, 2, 3])) == (6, 0, 8, 0)
    assert layer.trouble.tolist() == [0, 0, 2, 0]
    assert layer.lay(np.array([0, 2, 1, 3])) == (0, 4, 2, 0)
    assert layer.trouble.tolist() == [0, 0, 2, 0]


def test_a_layer_that_may_not_take_up_gives_up() -> None:
    assert Layer(tightened(WAITING), 0).lay(np.array([0, 1, 2, 3])) is None
    assert Layer(tightened(WAITING), 9, lambda: True).lay(np.array([0, 1, 2, 3])) is None


def test_calendars_are_kept() -> None:
    nights = (Resource(1, (Interval(3, 6), Interval(10, 14))),)
    layer = Layer(tightened(GeneralProblem((Activity(2, (1,)), Activity(2, (1,))), (), nights)), 9)
    assert layer.lay(np.array([0, 1])) == (3, 10)


def test_a_group_is_tied_by_greatest_lags_round_and_round() -> None:
    lags = (Lag(0, 1, 2), Lag(1, 0, -5), Lag(1, 2, 0), Lag(3, 2, 1, 4))
    assert sorted(groups(GeneralProblem((Activity(1, ()),) * 5, lags))) == [[0, 1], [2, 3], [4]]


def test_every_schedule_laid_holds_and_each_is_better_than_the_last() -> None:
    laid = 0
    for seed in range(150):
        problem = tiny_problem(seed)
        try:
            layer = Layer(tightened(problem), 9)
        except Contradiction:
            continue
        finishes = []
        for finish, starts in schedules(layer, seed, 0, lambda layer=layer: layer.placings > 60):
            assert holds(problem, starts), seed
            assert finish == problem.finish_of(starts)
            finishes.append(finish)
        assert finishes == sorted(set(finishes), reverse=True)
        laid += bool(finishes)
    assert laid > 75
