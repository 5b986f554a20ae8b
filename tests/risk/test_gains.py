"""Gains of many members at once are those of the rate itself, step by step, also where a clock stands still."""

from __future__ import annotations

import numpy as np
import pytest

from planner.cure.rates import Rate, opening_rate, shutting_rate
from planner.model import GapCurve
from planner.risk.gains import gains

POINTS = ((5.0, 24.0), (10.0, 16.0), (20.0, 8.0), (30.0, 5.0))
CURVES = {
    "stands still below": GapCurve(not_before=POINTS),
    "slows down below": GapCurve(not_before=POINTS, stalls_below_c=0.0),
    "one point": GapCurve(not_before=((10.0, 3.0),)),
    "at once": GapCurve(not_before=((5.0, 2.0), (20.0, 0.001))),
}


def rates() -> list[Rate]:
    found = [opening_rate(curve) for curve in CURVES.values()]
    found.append(shutting_rate(GapCurve(not_after=POINTS)))
    return [rate for rate in found if rate is not None]


@pytest.mark.parametrize("number", range(len(CURVES) + 1))
@pytest.mark.parametrize("step_k", [0.0, 0.05, 0.7, 6.0])
def test_gains_are_the_rates_own(number: int, step_k: float) -> None:
    rate = rates()[number]
    random = np.random.default_rng(number)
    warmth = random.uniform(-8.0, 36.0, (40, 1)) + np.cumsum(random.normal(0, step_k, (40, 30)), axis=1)
    warmth = warmth.astype(np.float32)
    exact = np.array([rate.increments(row.astype(np.float64), 0.25) for row in warmth])
    np.testing.assert_allclose(gains(rate, warmth, 0.25), exact, rtol=2e-5, atol=1e-12)


def test_on_a_knot_and_across_it() -> None:
    rate = rates()[0]
    warmth = np.array([[4.0, 5.0, 6.0, 5.0, 4.0, 10.0, 10.0, 31.0]], dtype=np.float32)
    exact = rate.increments(warmth[0].astype(np.float64), 0.25)
    np.testing.assert_allclose(gains(rate, warmth, 0.25)[0], exact, rtol=2e-6)
    assert exact[0] == 0.0
