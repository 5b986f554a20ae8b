"""How much an operation places: from the element's quantities by what its method says of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.model import Places

_L_PER_M3 = 1000.0


@dataclass(frozen=True)
class Demand:
    """What is to be placed, without waste; what does not apply is None.

    litres: volume [l]. area_m2: area counted once for each coat [m²]; thickness_mm: on that area [mm].
    pieces: how many.
    """

    litres: float | None = None
    area_m2: float | None = None
    thickness_mm: float | None = None
    pieces: float | None = None

    def part(self, share: float) -> Demand:
        """Return `share` (0..1) of it."""
        return Demand(
            litres=_times(self.litres, share),
            area_m2=_times(self.area_m2, share),
            thickness_mm=self.thickness_mm,
            pieces=_times(self.pieces, share),
        )


def demand_of(places: Places, operation: str, quantities: Mapping[str, float]) -> Demand | None:
    """Return what `operation` places on an element with these `quantities`; None if the one it needs is not there.

    A square metre one millimetre thick is a litre; a cubic metre is 1,000. The measured volume goes before all.
    """
    measured = quantities.get(f"{operation}_l")
    if measured is not None:
        return Demand(litres=measured)
    amount = quantities.get(places.quantity)
    if amount is None:
        return None
    if places.measure == "volume":
        return Demand(litres=amount * _L_PER_M3)
    if places.measure == "count":
        return _counted(places, amount)
    if places.section_m2 is not None:
        return Demand(litres=amount * places.section_m2 * _L_PER_M3)
    return _layer(places, amount if places.width_m is None else amount * places.width_m)


def _counted(places: Places, count: float) -> Demand:
    if places.litres_each is not None:
        return Demand(litres=count * places.litres_each)
    return Demand(pieces=count * (places.pieces_each or 1.0))


def _layer(places: Places, area_m2: float) -> Demand:
    if places.thickness_mm is not None:
        return Demand(litres=area_m2 * places.thickness_mm, area_m2=area_m2, thickness_mm=places.thickness_mm)
    return Demand(area_m2=area_m2 * (places.coats or 1))


def _times(value: float | None, share: float) -> float | None:
    return None if value is None else value * share
