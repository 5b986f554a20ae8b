"""The data refuses nonsense at birth, and the checker names each rule that starts break."""

from __future__ import annotations

import pytest

from planner.general import Activity, GeneralProblem, Lag, Resource, breaches
from planner.intervals import Interval

MORNINGS = (Interval(0, 4), Interval(10, 14))


def test_lengths_demands_and_capacities_are_not_negative() -> None:
    with pytest.raises(ValueError, match="length"):
        Activity(-1, ())
    with pytest.raises(ValueError, match="demands"):
        Activity(1, (-2,))
    with pytest.raises(ValueError, match="capacity"):
        Resource(-1)


def test_the_greatest_lag_is_not_less_than_the_least() -> None:
    with pytest.raises(ValueError, match="greatest lag 2 is less than the least lag 3"):
        Lag(0, 1, 3, 2)


def test_demands_match_the_resources_and_lags_name_activities() -> None:
    with pytest.raises(ValueError, match="activity 0 has 1 demands for 2 resources"):
        GeneralProblem((Activity(1, (1,)),), (), (Resource(1), Resource(1)))
    with pytest.raises(ValueError, match=r"outside 0\.\.0"):
        GeneralProblem((Activity(1, ()),), (Lag(0, 1, 0),))


def test_touching_intervals_of_a_calendar_are_one() -> None:
    assert Resource(1, (Interval(4, 6), Interval(0, 4))).calendar == (Interval(0, 6),)


def test_only_those_who_hold_a_resource_for_some_time_use_it() -> None:
    problem = GeneralProblem((Activity(0, (1,)), Activity(2, (0,)), Activity(2, (1,))), (), (Resource(1),))
    assert problem.users(0) == (2,)


PROBLEM = GeneralProblem(
    (Activity(3, (1,)), Activity(3, (1,)), Activity(2, (0,))),
    (Lag(0, 2, 2, 5),),
    (Resource(1, MORNINGS),),
    horizon=14,
)


def test_starts_that_hold_break_nothing() -> None:
    assert breaches(PROBLEM, (0, 10, 2)) == ()


@pytest.mark.parametrize(
    ("starts", "words"),
    [
        ((0, 10), "2 starts for 3 activities"),
        ((-1, 10, 2), "activity 0 starts at -1, before 0"),
        ((10, 0, 13), "activity 2 finishes at 15, after the horizon 14"),
        ((0, 10, 1), "2 starts 1 after 0, at least 2 required"),
        ((0, 10, 6), "2 starts 6 after 0, at most 5 allowed"),
        ((0, 1, 2), "resource 0 at 1: 2 held of 1"),
        ((2, 10, 4), "resource 0: held from 2 to 5, outside its calendar"),
    ],
)
def test_each_broken_rule_is_named(starts: tuple[int, ...], words: str) -> None:
    assert words in breaches(PROBLEM, starts)
