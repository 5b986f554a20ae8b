"""Pot life of a batch: minutes from the start of mixing until the last of it must be placed."""

from __future__ import annotations

import math
from functools import lru_cache

from planner.cure.rates import shutting_hours
from planner.model import GapCurve, Supply


def pot_life_min(supply: Supply, temperature_c: float, packs: int) -> float:
    """Return the pot life [min] of a batch of `packs` at `temperature_c` [°C]; infinite where none is stated.

    Between the points log(minutes) is linear in temperature; colder than the first it is no longer than there, hotter
    than the last the slope goes on: the safe side both ways. Each doubling of the sheet's batch mass multiplies it by
    `pot_life_doubling` (common practice, no source: heat of reaction), a smaller batch makes it no longer.
    """
    if supply.pot_life_min is None:
        return math.inf
    return float(shutting_hours(_curve(supply.pot_life_min), temperature_c)) * 60.0 * _mass_factor(supply, packs)


def warmest_c(supply: Supply, least_min: float, packs: int) -> float | None:
    """Return the warmest temperature [°C], to 0.5 °C, at which a batch still has `least_min`; None if none does."""
    if supply.pot_life_min is None:
        return None
    halves = range(round(supply.pot_life_min[0][0] * 2), 90)
    fitting = [half / 2 for half in halves if pot_life_min(supply, half / 2, packs) >= least_min]
    return max(fitting, default=None)


def _mass_factor(supply: Supply, packs: int) -> float:
    if supply.pot_life_kg is None or supply.mixed_kg is None:
        return 1.0
    doublings = math.log2(packs * supply.mixed_kg / supply.pot_life_kg)
    return float(supply.pot_life_doubling ** max(0.0, doublings))


@lru_cache(maxsize=64)
def _curve(points: tuple[tuple[float, float], ...]) -> GapCurve:
    return GapCurve(not_after=tuple((warmth, minutes / 60.0) for warmth, minutes in points))
