"""What a cure clock gains in each step in many members at once: the rates' own formula, arranged for long arrays.

On one segment of a rate its logarithm is linear in temperature, and so in time over a step. With m the mean of the
logarithms at both ends and x their difference, the mean rate is exp(m) · sinh(x / 2) / (x / 2), here to the fourth
power of x (relative error below 4e-6 for |x| ≤ 1, some 10 K in a step). Steps that cross from one segment to another,
and steeper ones, go through `Rate.increments`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.cure.rates import Floats, Rate
from planner.weather.series import Singles

_STANDS_STILL = np.float32(-80.0)
"""Logarithm of a rate [1/h] that gains nothing in any job."""
_STEEP = np.float32(1.0)


def gains(rate: Rate, temperature_c: Floats | Singles, hours: float) -> Singles:
    """Return the gains in each step of `hours` [h]; temperature going straight from end to end of each.

    temperature_c: shape (members, n + 1). Returns shape (members, n).
    """
    warmth = np.asarray(temperature_c, dtype=np.float32)
    segment = _segments(rate, warmth)
    log_rate = _log_rates(rate, warmth, segment)
    first, last = log_rate[:, :-1], log_rate[:, 1:]
    square = np.square(last - first)
    gained = np.exp((first + last) * np.float32(0.5)) * np.float32(hours)
    gained *= np.float32(1.0) + square * (np.float32(1 / 24) + square * np.float32(1 / 1920))
    crossing = np.flatnonzero((segment[:, 1:] != segment[:, :-1]) | (square > _STEEP))
    if crossing.size:
        rows, steps = np.divmod(crossing, gained.shape[1])
        gained[rows, steps] = _across(rate, warmth[rows, steps], warmth[rows, steps + 1], hours)
    return np.asarray(gained, dtype=np.float32)


def _segments(rate: Rate, warmth: Singles) -> NDArray[np.int8]:
    """Return the segment of each temperature: how many knots it has reached."""
    found = np.zeros(warmth.shape, dtype=np.int8)
    for knot in rate.knots_c:
        found += warmth >= np.float32(knot)
    return found


def _log_rates(rate: Rate, warmth: Singles, segment: NDArray[np.int8]) -> Singles:
    """Return the logarithm of the rate at each temperature, on the segment it belongs to."""
    with np.errstate(divide="ignore"):
        base = np.maximum(np.log(rate.base_rate), _STANDS_STILL) - rate.growth * rate.base_c
    bases, growths = base.astype(np.float32), rate.growth.astype(np.float32)
    return np.asarray(bases.take(segment) + growths.take(segment) * warmth)


def _across(rate: Rate, begins: Singles, ends: Singles, hours: float) -> Floats:
    """Return the gains of steps that cross from one segment to another."""
    pairs = np.stack([begins, ends], axis=1).astype(np.float64).ravel()
    return rate.increments(pairs, hours)[::2]
