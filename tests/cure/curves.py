"""Random data-sheet curves and temperatures for property tests, and slow second statements of the cure clocks."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st

from planner.model import GapCurve

Points = tuple[tuple[float, float], ...]


@st.composite
def points(draw: st.DrawFn, longest_h: float = 60.0) -> Points:
    """Return one to five points between 0 and 40 °C, at least 4 K apart, hours falling."""
    warmths = sorted(4 * step for step in draw(st.lists(st.integers(0, 10), min_size=1, max_size=5, unique=True)))
    hours = sorted(
        draw(st.lists(st.floats(0.2, longest_h), min_size=len(warmths), max_size=len(warmths))), reverse=True
    )
    return tuple((float(warmth), lasting) for warmth, lasting in zip(warmths, hours, strict=True))


@st.composite
def gap_curves(draw: st.DrawFn) -> GapCurve:
    """Return a curve with both ends and sometimes a stall."""
    opens = draw(points())
    stall = draw(st.none() | st.floats(-10.0, opens[0][0]))
    return GapCurve(not_before=opens, not_after=draw(points(200.0)), stalls_below_c=stall)


@st.composite
def courses(draw: st.DrawFn, slots: int = 120) -> np.ndarray:
    """Return temperatures [°C] at slot boundaries, shape (slots + 1,): straight between turns, with some noise."""
    turns = draw(st.lists(st.floats(-15.0, 45.0), min_size=2, max_size=6))
    course = np.interp(np.linspace(0, len(turns) - 1, slots + 1), np.arange(len(turns)), turns)
    if draw(st.booleans()):
        course = course + np.random.default_rng(draw(st.integers(0, 99))).normal(0, 0.5, slots + 1)
    return course


def slow_hours(curve: GapCurve, warmth: float, *, shuts: bool) -> float:
    """Return hours [h] at one temperature [°C], stated a second time, case by case."""
    given = curve.not_after if shuts else curve.not_before
    assert given is not None
    first, last = given[0], given[-1]
    if warmth < first[0]:
        if shuts:
            return first[1]
        if curve.stalls_below_c is None or warmth < curve.stalls_below_c:
            return math.inf
        return _through(first, given[1], warmth) if len(given) > 1 else first[1]
    if warmth > last[0]:
        if not shuts or len(given) == 1:
            return last[1]
        return _through(given[-2], last, warmth)
    for cold, warm in pairwise(given):
        if cold[0] <= warmth <= warm[0]:
            return _through(cold, warm, warmth)
    return first[1]


def _through(cold: tuple[float, float], warm: tuple[float, float], warmth: float) -> float:
    share = (warmth - cold[0]) / (warm[0] - cold[0])
    return math.exp((1 - share) * math.log(cold[1]) + share * math.log(warm[1]))


def slow_clock(curve: GapCurve, course: np.ndarray, *, shuts: bool) -> np.ndarray:
    """Return the clock at slot boundaries by adding up the rate in the middle of every 20 s."""
    gained = [0.0]
    for start, finish in pairwise(course):
        middles = [start + (finish - start) * (step + 0.5) / 45 for step in range(45)]
        rates = [min(1 / slow_hours(curve, warmth, shuts=shuts), 1e6) for warmth in middles]
        gained.append(gained[-1] + sum(rates) / 180)
    return np.array(gained)
