"""A member clock asked again: what it remembers is what a clock that was never asked says."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from planner.cure.rates import opening_rate
from planner.model import GapCurve
from planner.risk.clocks import MemberClock, Slots

MEMBERS, HORIZON = 23, 300
CURVE = GapCurve(not_before=((5.0, 30.0), (20.0, 6.0)))


def _clock(seed: int) -> MemberClock:
    rng = np.random.default_rng(seed)
    wave = 11.0 + 7.0 * np.sin(np.arange(HORIZON + 1) / 15.0)
    rate = opening_rate(CURVE)
    assert rate is not None
    return MemberClock(rate, (wave + rng.normal(0, 3, (MEMBERS, 1))).astype(np.float32))


@given(
    st.integers(0, 1000),
    st.lists(st.tuples(st.integers(0, 2), st.integers(0, MEMBERS), st.integers(0, 10**6)), min_size=1, max_size=8),
)
def test_an_answer_given_before_is_the_answer(seed: int, asked: list[tuple[int, int, int]]) -> None:
    """Each question moves the anchors of some members of one of three gaps; some lie after the job."""
    clock = _clock(seed)
    anchors: list[Slots] = [np.full(MEMBERS, first, dtype=np.int64) for first in (0, 40, 250)]
    for gap, moved, number in asked:
        anchors[gap][:moved] = np.random.default_rng(number).integers(0, HORIZON + 2, moved)
        found = clock.full_at(anchors[gap])
        np.testing.assert_array_equal(found, _clock(seed).full_at(anchors[gap]))
