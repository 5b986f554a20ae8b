"""For every anchor slot: the first and the last slot at which the other end of a gap may lie."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.cure.clocks import run_clock
from planner.cure.rates import AT_ONCE_H, Floats, Rate, opening_rate, shutting_rate
from planner.model import GapCurve
from planner.units import slots_down, slots_up

SLACK = 1e-9
"""Slack of a clock, in turns: float dust, 0.1 ms of a 24 h gap, so that a plain lag of 24 h is 96 slots."""


@dataclass(frozen=True)
class GapArrays:
    """When a gap opens and shuts, by the slot z of its anchor; both lists have H + 1 entries and never fall.

    opens[z]: first slot, from z on, at which the other end may lie; `never` (H + 1) where it does not open
        within the horizon.
    shuts[z]: last slot at which it may lie, at least z; H where the gap does not shut within the horizon.
        Less than opens[z] where the gap is shut before it opens.
    """

    opens: list[int]
    shuts: list[int]

    @property
    def never(self) -> int:
        """The slot that stands for "not within the horizon"."""
        return len(self.opens)


def gap_arrays(curve: GapCurve, temperature_c: Floats) -> GapArrays:
    """Return both arrays of a gap for temperatures [°C] at the slot boundaries, shape (H + 1,).

    The opening clock must have gained at least 1 and the shutting clock at most 1 since the anchor.
    ValueError where a temperature is missing.
    """
    return GapArrays(
        opens=_opens(opening_rate(curve), temperature_c),
        shuts=_shuts(shutting_rate(curve), temperature_c),
    )


def lag_arrays(not_before_h: float, not_after_h: float | None, horizon: int) -> GapArrays:
    """Return both arrays of a plain lag [h] that no temperature moves, for H = `horizon` slots."""
    return GapArrays(
        opens=_shifted(_opening_slots(not_before_h), horizon, latest=horizon + 1),
        shuts=_never_shuts(horizon)
        if not_after_h is None
        else _shifted(slots_down(not_after_h), horizon, latest=horizon),
    )


def _opens(rate: Rate | None, temperature_c: Floats) -> list[int]:
    horizon = len(temperature_c) - 1
    if rate is None:
        return _shifted(0, horizon, latest=horizon)
    lag_h = _only_hours(rate, temperature_c)
    if lag_h is not None:
        return _shifted(_opening_slots(lag_h), horizon, latest=horizon + 1)
    clock = run_clock(rate, temperature_c)
    return _as_list(_ranks(clock + (1.0 - SLACK), clock, ties_first=True))


def _shuts(rate: Rate | None, temperature_c: Floats) -> list[int]:
    horizon = len(temperature_c) - 1
    if rate is None:
        return _never_shuts(horizon)
    lag_h = _only_hours(rate, temperature_c)
    if lag_h is not None:
        return _shifted(slots_down(lag_h), horizon, latest=horizon)
    clock = run_clock(rate, temperature_c)
    return _as_list(_ranks(clock + (1.0 + SLACK), clock, ties_first=False) - 1)


def _ranks(values: Floats, among: Floats, *, ties_first: bool) -> NDArray[np.intp]:
    """Return for each of the rising `values` how many of the rising `among` come before it; shape of both (n,).

    ties_first: equal ones come after it, else before: `searchsorted` to the left, else to the right. A stable sort
    merges the two rising runs in one pass, in two thirds of the time that as many searches take.
    """
    many = len(values)
    runs = (values, among) if ties_first else (among, values)
    order = np.concatenate(runs).argsort(kind="stable")
    places = np.flatnonzero(order < many if ties_first else order >= many)
    return places - np.arange(many)


def _as_list(slots: NDArray[np.intp]) -> list[int]:
    """Return slots as a list of shared numbers: half the time and a fifth of the memory of new ones for each gap."""
    found: list[int] = _numbers(len(slots) + 1)[slots].tolist()
    return found


@lru_cache(maxsize=8)
def _numbers(count: int) -> NDArray[np.object_]:
    """Return 0..count − 1 as Python's numbers."""
    numbers = np.arange(count).astype(object)
    numbers.setflags(write=False)
    return numbers


def _only_hours(rate: Rate, temperature_c: Floats) -> float | None:
    """Return the hours of a clock that runs alike at all these temperatures; None where it does not."""
    if len(rate.knots_c) > 1 or not (rate.is_constant or np.min(temperature_c) >= rate.knots_c[0]):
        return None
    return float(1.0 / rate.base_rate[1])


def _opening_slots(hours: float) -> int:
    return 0 if hours <= AT_ONCE_H * (1.0 + SLACK) else slots_up(hours)


def _shifted(lag: int, horizon: int, latest: int) -> list[int]:
    """Return z + lag for z = 0..horizon, but nowhere more than `latest`."""
    free = max(0, min(horizon + 1, latest - lag + 1))
    found: list[int] = _numbers(horizon + 2)[lag : lag + free].tolist()
    return found + [latest] * (horizon + 1 - free)


def _never_shuts(horizon: int) -> list[int]:
    return [horizon] * (horizon + 1)
