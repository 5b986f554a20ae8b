"""The two cure clocks of a gap: the share of its opening and shutting times that has run, slot by slot."""

from __future__ import annotations

import numpy as np

from planner.cure.rates import Floats, Rate, opening_rate, shutting_rate
from planner.model import GapCurve
from planner.units import hours_of

SLOT_H = hours_of(1)


def open_clock(curve: GapCurve, temperature_c: Floats) -> Floats | None:
    """Return the opening clock, shape (H + 1,): a gap from slot z is open at s when clock[s] - clock[z] >= 1.

    temperature_c: at the slot boundaries [°C], shape (H + 1,), linear between them. None: always open.
    """
    return _run(opening_rate(curve), temperature_c)


def shut_clock(curve: GapCurve, temperature_c: Floats) -> Floats | None:
    """Return the shutting clock, shape (H + 1,): a gap from slot z is shut at s when clock[s] - clock[z] > 1.

    temperature_c: at the slot boundaries [°C], shape (H + 1,), linear between them. None: never shuts.
    """
    return _run(shutting_rate(curve), temperature_c)


def run_clock(rate: Rate, temperature_c: Floats, step_h: float = SLOT_H) -> Floats:
    """Return the integral of `rate` over time from the first boundary, shape (n + 1,), exact for linear steps.

    temperature_c: at boundaries `step_h` [h] apart [°C]. ValueError where a temperature is missing.
    """
    warmth = np.ascontiguousarray(temperature_c, dtype=np.float64)
    if warmth.ndim != 1 or not warmth.size or not np.isfinite(warmth).all():
        raise ValueError("a cure clock needs a temperature at every slot boundary")
    clock = np.zeros(warmth.size)
    np.cumsum(rate.increments(warmth, step_h), out=clock[1:])
    return clock


def _run(rate: Rate | None, temperature_c: Floats) -> Floats | None:
    return None if rate is None else run_clock(rate, temperature_c)
