"""Packs: how many whole ones a demand takes, waste included.

Yield of a bag is the mass balance (m + w) / ρ: what goes into the mixer, over its wet density. Waste is a share of
what is mixed, so the need is divided by what is left of it, not multiplied by one and the waste: 30 % lost is 43 %
more, as in the practical spreading rates of coatings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.materials.demand import Demand
from planner.model import Supply

_DUST = 1e-9


@dataclass(frozen=True)
class Packs:
    """Packs that a demand takes: without waste, with it, and whole ones to be opened."""

    net: float
    gross: float
    whole: int


def packs_for(supply: Supply, demand: Demand) -> Packs | None:
    """Return the packs that `demand` takes; None if the supply does not say how far one goes in such a demand."""
    net = _net(supply, demand)
    if net is None:
        return None
    gross = net / (1.0 - supply.waste_pct / 100.0)
    return Packs(net, gross, math.ceil(gross * (1.0 - _DUST)))


def _net(supply: Supply, demand: Demand) -> float | None:
    """Return packs without waste, by the first figure that fits: pieces, sheets, coverage, then volume."""
    if demand.pieces is not None:
        return None if supply.pack_count is None else demand.pieces / supply.pack_count
    if demand.area_m2 is not None:
        if supply.pack_m2 is not None:
            return demand.area_m2 / supply.pack_m2
        by_area = _by_coverage(supply, demand.area_m2, demand.thickness_mm)
        if by_area is not None:
            return by_area
    if demand.litres is None or supply.mixed_l is None:
        return None
    return demand.litres / supply.mixed_l


def _by_coverage(supply: Supply, area_m2: float, thickness_mm: float | None) -> float | None:
    coverage = supply.coverage
    if coverage is None:
        return None
    mass, volume = (supply.pack_kg, supply.pack_l) if coverage.of == "pack" else (supply.mixed_kg, supply.mixed_l)
    if coverage.kg_per_m2_mm is not None:
        return _over(None if thickness_mm is None else area_m2 * thickness_mm * coverage.kg_per_m2_mm, mass)
    if thickness_mm is not None:
        return None
    if coverage.kg_per_m2 is not None:
        return _over(area_m2 * coverage.kg_per_m2, mass)
    return None if coverage.l_per_m2 is None else _over(area_m2 * coverage.l_per_m2, volume)


def _over(amount: float | None, pack: float | None) -> float | None:
    return None if amount is None or pack is None else amount / pack
