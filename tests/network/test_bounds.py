"""Simple temporal problems against published examples and against all-pairs distances."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.network.bounds import Bound, least_times, timing

EVENTS = [(f"x{number}", "at") for number in range(5)]

CAR_POOL = [(0, 1, 10, 20), (1, 2, 30, 40), (3, 2, 10, 20), (3, 4, 40, 50), (0, 4, 60, 70)]
"""Dechter, Meiri & Pearl, Artificial Intelligence 49 (1991), example 1.1 (minutes after 7:00; the example and its
distances as remembered, recomputed by hand): John drives 30-40 min, Fred's car pool takes 40-50 min, John leaves
7:10-7:20, Fred arrives 8:00-8:10, John arrives 10-20 min after Fred leaves.

    x0 7:00 --- x1 John leaves --- x2 John arrives --- x3 Fred leaves --- x4 Fred arrives
"""

CAR_POOL_DISTANCES = [
    [0, 20, 50, 30, 70],
    [-10, 0, 40, 20, 60],
    [-40, -30, 0, -10, 30],
    [-20, -10, 20, 0, 50],
    [-60, -50, -20, -40, 0],
]


def _bounds(rows: list[tuple[int, int, int, int]]) -> list[Bound]:
    return [Bound(EVENTS[one], EVENTS[other], least, most) for one, other, least, most in rows]


def test_car_pool_example_gives_its_published_distances() -> None:
    """The distance from i to j is the most that xj - xi can be: minus the least time from j to i."""
    bounds = _bounds(CAR_POOL)
    assert timing(bounds).contradiction == ()
    least = [least_times(bounds, origin) for origin in EVENTS]
    found = [[-least[j][EVENTS[i]] for j in range(5)] for i in range(5)]
    assert found == CAR_POOL_DISTANCES


def test_car_pool_by_bus_is_impossible_by_twenty_minutes() -> None:
    """John by bus takes at least 60 min: the cycle is 20 min too long (same paper, same certainty)."""
    by_bus = [(1, 2, 60, 90) if row[:2] == (1, 2) else row for row in CAR_POOL]
    steps = timing(_bounds(by_bus)).contradiction
    assert sum(step.slots for step in steps) == 20
    for step, following in zip(steps, steps[1:] + steps[:1], strict=True):
        here = step.bound.earlier if step.upper else step.bound.later
        assert here == (following.bound.later if following.upper else following.bound.earlier)


@pytest.mark.parametrize(
    ("least_h", "most_h", "too_much_h"), [(6, 48, None), (50, 48, 2), (24, 24, None), (25, 24, 1)]
)
def test_least_and_greatest_lag_between_the_same_two(least_h: int, most_h: int, too_much_h: int | None) -> None:
    """Bartusch, Möhring & Radermacher, Annals of Operations Research 16 (1988): feasible if and only if no cycle
    has positive length; a cycle of length 0 is feasible."""
    lags = [Bound(EVENTS[0], EVENTS[1], 4 * least_h), Bound(EVENTS[0], EVENTS[1], 0, 4 * most_h)]
    steps = timing(lags).contradiction
    assert sum(step.slots for step in steps) == (0 if too_much_h is None else 4 * too_much_h)
    assert bool(steps) == (too_much_h is not None)


def test_one_bound_that_contradicts_itself_is_found() -> None:
    assert len(timing([Bound(EVENTS[0], EVENTS[1], 5, 4)]).contradiction) == 2
    assert timing([Bound(EVENTS[0], EVENTS[0], 1)]).contradiction


def test_no_bounds_no_contradiction() -> None:
    assert timing([]).contradiction == ()
    assert timing([]).earliest == {}
    assert least_times([], EVENTS[0]) == {EVENTS[0]: 0}


ROWS = st.lists(
    st.tuples(st.integers(0, 4), st.integers(0, 4), st.integers(-20, 20), st.integers(0, 30)), min_size=1, max_size=9
)


def _all_pairs(rows: list[tuple[int, int, int, int]]) -> np.ndarray:
    """Return greatest distances by Floyd and Warshall's triple loop; a negative diagonal is a contradiction."""
    far = np.where(np.eye(5, dtype=bool), 0.0, np.inf)
    for one, other, least, slack in rows:
        far[one, other] = min(far[one, other], least + slack)
        far[other, one] = min(far[other, one], -least)
    for via in range(5):
        far = np.minimum(far, far[:, via, None] + far[None, via, :])
    return far


@settings(max_examples=300, deadline=None)
@given(ROWS)
def test_contradictions_and_times_agree_with_all_pairs_distances(rows: list[tuple[int, int, int, int]]) -> None:
    bounds = _bounds([(one, other, least, least + slack) for one, other, least, slack in rows])
    far = _all_pairs(rows)
    steps = timing(bounds).contradiction
    assert bool(steps) == bool((np.diag(far) < 0).any())
    if steps:
        assert sum(step.slots for step in steps) > 0
        return
    for origin in {bound.earlier for bound in bounds}:
        row = EVENTS.index(origin)
        for event, least in least_times(bounds, origin).items():
            assert least == -far[EVENTS.index(event), row]
    earliest = timing(bounds).earliest
    assert min(earliest.values()) == 0
    for bound in bounds:
        assert earliest[bound.later] - earliest[bound.earlier] >= bound.at_least
        assert bound.at_most is not None
        assert earliest[bound.later] - earliest[bound.earlier] <= bound.at_most
