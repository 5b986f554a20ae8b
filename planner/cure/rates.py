"""How fast a cure clock runs: hours from a data-sheet curve, the rate 1/hours, and its exact integral.

Between two points of a curve log(hours) is linear in temperature, so the rate is an exponential of temperature
and its antiderivative over temperature has a closed form, segment by segment. That form is exact for materials whose
rate multiplies by a constant per degree, and within 1 % of the Arrhenius form between points at most 10 K apart.

Outside the points the clocks stay on the safe side:

============  ============================================  =====================================
              opening clock (not_before)                    shutting clock (not_after)
============  ============================================  =====================================
colder        stands still; with stalls_below_c the first   runs as at the first point
              slope continues down to that temperature
hotter        runs as at the last point                     the last slope continues
============  ============================================  =====================================
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.model import GapCurve

Floats = NDArray[np.float64]

AT_ONCE_H = 1e-6
"""Hours [h] that mean "at once"; no clock runs faster than one turn in this time."""
_NEARLY_NOTHING = 1e-9


@dataclass(frozen=True, eq=False)
class Rate:
    """Rate of a cure clock [1/h] against temperature, piecewise exponential.

    knots_c: the temperatures [°C] that divide the segments, shape (n,), rising.
    base_c, base_rate, growth, base_integral: shape (n + 1,), one for each segment: on it the rate is
        base_rate * exp(growth * (T - base_c)), and its antiderivative is base_integral at base_c.
        A temperature on a knot belongs to the warmer segment.
    """

    knots_c: Floats
    base_c: Floats
    base_rate: Floats
    growth: Floats
    base_integral: Floats

    @property
    def is_constant(self) -> bool:
        """Whether the clock runs alike at every temperature."""
        return bool(np.all(self.growth == 0.0) and np.all(self.base_rate == self.base_rate[0]))

    def at(self, temperature_c: ArrayLike) -> Floats:
        """Return the rate [1/h] at each temperature [°C]; any shape."""
        warmth = np.asarray(temperature_c, dtype=np.float64)
        segment = np.searchsorted(self.knots_c, warmth, side="right")
        return np.asarray(self.base_rate[segment] * np.exp(self.growth[segment] * (warmth - self.base_c[segment])))

    def increments(self, temperature_c: Floats, hours: float) -> Floats:
        """Return what the clock gains in each step of `hours` [h], temperature going straight from end to end.

        temperature_c: shape (n + 1,), at the ends of the steps [°C]. Returns shape (n,).
        With T linear in time over a step, the gain is hours * (R(T1) - R(T0)) / (T1 - T0), where R is the
        antiderivative of the rate over temperature (substitution rule).
        """
        segment = np.searchsorted(self.knots_c, temperature_c, side="right")
        above = temperature_c - self.base_c[segment]
        growth, base_rate = self.growth[segment], self.base_rate[segment]
        rate = base_rate * np.exp(growth * above)
        rise = np.diff(temperature_c)
        gains = hours * rate[:-1] * _mean_of_exp(growth[:-1] * rise)
        across = np.flatnonzero(segment[1:] != segment[:-1])
        if across.size:
            gains[across] = hours * self._across(temperature_c, segment, across)
        return np.asarray(gains)

    def _across(self, temperature_c: Floats, segment: NDArray[np.intp], steps: NDArray[np.intp]) -> Floats:
        """Return the mean rate over the steps whose two ends lie in different segments."""
        rise = temperature_c[steps + 1] - temperature_c[steps]
        gained = self._integral(temperature_c[steps + 1], segment[steps + 1]) - self._integral(
            temperature_c[steps], segment[steps]
        )
        tiny = np.abs(rise) < _NEARLY_NOTHING
        middle = self.at((temperature_c[steps + 1] + temperature_c[steps]) / 2)
        return np.where(tiny, middle, gained / np.where(tiny, 1.0, rise))

    def _integral(self, temperature_c: Floats, segment: NDArray[np.intp]) -> Floats:
        above = temperature_c - self.base_c[segment]
        mean = self.base_rate[segment] * _mean_of_exp(self.growth[segment] * above)
        return np.asarray(self.base_integral[segment] + mean * above)


@lru_cache(maxsize=1024)
def opening_rate(curve: GapCurve) -> Rate | None:
    """Return the rate of the clock that opens the gap; None where the gap is always open. Remembered."""
    if curve.not_before is None:
        return None
    knots = _knots(curve.not_before)
    growth = _growths(knots)
    if curve.stalls_below_c is not None and curve.stalls_below_c < knots[0][0]:
        first = growth[0] if growth else 0.0
        (cold, slow) = (curve.stalls_below_c, knots[0][1] * math.exp(first * (curve.stalls_below_c - knots[0][0])))
        knots, growth = [(cold, slow), *knots], [first, *growth]
    return _joined(knots, [0.0, *growth, 0.0], coldest_rate=0.0)


@lru_cache(maxsize=1024)
def shutting_rate(curve: GapCurve) -> Rate | None:
    """Return the rate of the clock that shuts the gap; None where it never shuts. Remembered."""
    if curve.not_after is None:
        return None
    knots = _knots(curve.not_after)
    growth = _growths(knots)
    if growth and growth[-1] > 0.0:
        warm, rate = knots[-1]
        fastest = warm + math.log(1.0 / (AT_ONCE_H * rate)) / growth[-1]
        if fastest > warm:
            knots, growth = [*knots, (fastest, 1.0 / AT_ONCE_H)], [*growth, growth[-1]]
    return _joined(knots, [0.0, *growth, 0.0], coldest_rate=knots[0][1])


def opening_hours(curve: GapCurve, temperature_c: ArrayLike) -> Floats:
    """Return hours [h] until the gap opens at constant temperatures [°C]: inf where it stalls, 0 where free."""
    return _hours(opening_rate(curve), temperature_c, without=0.0)


def shutting_hours(curve: GapCurve, temperature_c: ArrayLike) -> Floats:
    """Return hours [h] until the gap shuts at constant temperatures [°C]: inf where it never does."""
    return _hours(shutting_rate(curve), temperature_c, without=math.inf)


def curve_hours(
    points: Sequence[tuple[float, float]],
    temperature_c: ArrayLike,
    *,
    shuts: bool = False,
    stalls_below_c: float | None = None,
) -> Floats:
    """Return hours [h] of a curve's points at constant temperatures [°C], safe beyond the points.

    points: ((°C, h), …) as a data sheet gives them. shuts: read them as not_after rather than not_before.
    """
    if shuts:
        return shutting_hours(GapCurve(not_after=tuple(points)), temperature_c)
    return opening_hours(GapCurve(not_before=tuple(points), stalls_below_c=stalls_below_c), temperature_c)


def _hours(rate: Rate | None, temperature_c: ArrayLike, without: float) -> Floats:
    if rate is None:
        return np.full(np.shape(temperature_c), without)
    with np.errstate(divide="ignore"):
        return np.asarray(1.0 / rate.at(temperature_c))


def _knots(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return (°C, rate [1/h]) for the points of a curve."""
    return [(warmth, 1.0 / max(hours, AT_ONCE_H)) for warmth, hours in points]


def _growths(knots: list[tuple[float, float]]) -> list[float]:
    """Return d log(rate) / dT [1/K] between each two knots."""
    return [
        math.log(warm_rate / cold_rate) / (warm - cold) for (cold, cold_rate), (warm, warm_rate) in pairwise(knots)
    ]


def _joined(knots: list[tuple[float, float]], growth: list[float], coldest_rate: float) -> Rate:
    """Return the segments joined into one: the antiderivative is continuous, and 0 at the first knot."""
    integral = [0.0, 0.0]
    for (cold, rate), (warm, _), slope in zip(knots[:-1], knots[1:], growth[1:-1], strict=True):
        integral.append(integral[-1] + rate * (warm - cold) * float(_mean_of_exp(np.float64(slope * (warm - cold)))))
    warmths, rates = zip(*knots, strict=True)
    return Rate(
        knots_c=np.array(warmths),
        base_c=np.array([warmths[0], *warmths]),
        base_rate=np.array([coldest_rate, *rates]),
        growth=np.array(growth),
        base_integral=np.array(integral),
    )


def _mean_of_exp(exponent: Floats | np.float64) -> Floats:
    """Return (exp(x) - 1) / x, the mean of exp over 0..x, which is 1 at x = 0."""
    mean = np.ones_like(exponent)
    np.divide(np.expm1(exponent), exponent, out=mean, where=exponent != 0.0)
    return mean
