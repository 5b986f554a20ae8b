"""Five thousand random curves and forecasts: opens and shuts against integration minute by minute."""

from __future__ import annotations

import numpy as np
import pytest

from planner.cure.arrays import gap_arrays
from planner.model import GapCurve

CASES, HOURS = 5_000, 96
SLOTS, MINUTES = HOURS * 4, HOURS * 60


@pytest.mark.parametrize("batch", range(10))
def test_opens_and_shuts_are_those_of_the_minutes(batch: int) -> None:
    draw = np.random.default_rng(1000 + batch)
    for _ in range(CASES // 10):
        curve, course, anchor = _curve(draw), _course(draw), int(draw.integers(0, SLOTS // 2))
        found = gap_arrays(curve, course)
        opens, shuts = _by_minutes(curve, course, anchor)
        # An instant that falls within two minutes of a slot's edge may be judged either way.
        early, late = (-(-(opens + shift) // 15) for shift in (-2, 2))
        assert min(early, SLOTS + 1) <= found.opens[anchor] <= min(late, SLOTS + 1)
        early, late = ((shuts + shift) // 15 for shift in (-2, 2))
        assert min(early, SLOTS) <= found.shuts[anchor] <= min(late, SLOTS)


def _curve(draw: np.random.Generator) -> GapCurve:
    """Two to five points; the gap shuts two to eight times as late as it opens."""
    count = int(draw.integers(2, 6))
    warmths = np.sort(draw.choice(np.arange(0, 36), count, replace=False)).astype(float)
    hours = np.sort(draw.uniform(0.5, 40.0, count))[::-1]
    later = hours * draw.uniform(2.0, 8.0)
    return GapCurve(
        not_before=tuple(zip(warmths.tolist(), hours.tolist(), strict=True)),
        not_after=tuple(zip(warmths.tolist(), later.tolist(), strict=True)),
    )


def _course(draw: np.random.Generator) -> np.ndarray:
    """Return slot-boundary temperatures [°C]: a daily swing on a drift with hourly noise."""
    hours = np.arange(SLOTS + 1) / 4
    swing = draw.uniform(0, 9) * np.sin(2 * np.pi * (hours - 9) / 24)
    noise = np.interp(hours, np.arange(HOURS + 1), draw.normal(0, 0.7, HOURS + 1))
    return draw.uniform(-2, 28) + draw.uniform(-0.1, 0.1) * hours + swing + noise


def _by_minutes(curve: GapCurve, course: np.ndarray, anchor: int) -> tuple[int, int]:
    """Return the minutes of opening and shutting, from the rate in the middle of each minute, counted from slot 0."""
    middles = np.interp((np.arange(MINUTES) + 0.5) / 15, np.arange(SLOTS + 1), course)
    (at, opening), (_, shutting) = (zip(*points, strict=True) for points in (curve.not_before, curve.not_after))
    log_open, log_shut = (np.interp(middles, at, np.log(hours)) for hours in (opening, shutting))
    last = np.log(shutting[-1] / shutting[-2]) / (at[-1] - at[-2])
    log_shut = log_shut + last * np.maximum(middles - at[-1], 0)
    ready = np.where(middles < at[0], 0.0, np.exp(-log_open)) / 60
    over = np.exp(-log_shut) / 60
    start = anchor * 15
    run, gone = np.cumsum(ready[start:]), np.cumsum(over[start:])
    return start + int(np.searchsorted(run, 1.0)) + 1, start + int(np.searchsorted(gone, 1.0, side="right"))
