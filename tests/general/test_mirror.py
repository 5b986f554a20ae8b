"""A problem run backwards allows the same schedules, run backwards; a schedule pushed late and early still holds."""

from __future__ import annotations

import numpy as np

from planner.general import Activity, GeneralProblem, Lag, Resource
from planner.general.distances import Contradiction
from planner.general.lay import Layer
from planner.general.mirror import mirrored, pushed
from planner.general.windows import finish_by, safe_horizon, tightened
from planner.intervals import Interval
from tests.general.exhaustive import best_finish, holds, tiny_problem


def test_calendars_and_windows_turn_round_the_last_finish() -> None:
    """A length of 2 on nights 1-4 and 7-11, finished by 10: starts 1-2 and 7-8 become 10 - start - 2."""
    nights = (Resource(1, (Interval(1, 4), Interval(7, 11))),)
    back = mirrored(tightened(GeneralProblem((Activity(2, (1,)),), (), nights)), 10)
    assert back.calendars == ((Interval(0, 2), Interval(6, 8)),)
    assert back.problem.resources[0].calendar == (Interval(0, 3), Interval(6, 9))
    assert back.latest.tolist() == [7]


def test_lags_turn_round_between_finishes() -> None:
    """1 starts 4 after 0 (lengths 3, 1), so backwards 0 starts 4 + 1 - 3 = 2 after 1."""
    back = mirrored(tightened(GeneralProblem((Activity(3, ()), Activity(1, ())), (Lag(0, 1, 4),))), 5)
    assert back.paths[1, 0] == 2


def test_pushing_takes_out_what_waits_for_nothing() -> None:
    """Laid 1, 0, 2 the third waits for the first though there is room: pushed, all three take 6."""
    three = tuple(Activity(length, (demand,)) for length, demand in ((2, 2), (4, 1), (4, 1)))
    layer = Layer(tightened(GeneralProblem(three, (), (Resource(2),))), 9)
    loose = (4, 0, 6)
    assert holds(layer.known.problem, loose)
    better = pushed(layer, loose)
    assert better is not None
    assert layer.known.problem.finish_of(better) == 6


def test_every_schedule_pushed_holds() -> None:
    pushes = 0
    for seed in range(200):
        problem = tiny_problem(seed)
        try:
            known = tightened(problem)
        except Contradiction:
            continue
        layer = Layer(known, 9)
        starts = layer.lay(known.latest)
        after = None if starts is None else pushed(layer, starts)
        if after is not None:
            assert holds(problem, after), seed
            pushes += 1
    assert pushes > 80


def test_the_mirrored_problem_refutes_no_schedule_of_the_problem() -> None:
    for seed in range(120):
        problem = tiny_problem(seed)
        best = best_finish(problem, safe_horizon(problem))
        if best is None:
            continue
        known = tightened(problem)
        finish_by(known, best)
        back = mirrored(known, best)
        assert np.all(back.earliest <= back.latest), seed
        assert np.all(back.earliest >= 0), seed
