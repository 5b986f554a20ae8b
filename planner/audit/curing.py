"""Minimum curing periods by the bands of the codes, typed a second time and looked up minute by minute.

EN 13670 Annex F and ACI 308R are from memory and want checking on paper; the DIN 1045-3 table is as published.
"""

from __future__ import annotations

import numpy as np

from planner.audit.clocks import Floats
from planner.audit.hardening import hardening_of, share_above
from planner.model import CodeId, CuringClass, Development, Product

_BANDS_C = (25.0, 15.0, 10.0, 5.0)
_EN_DAYS: dict[tuple[int, Development], tuple[float, ...]] = {
    (2, "rapid"): (1, 1, 1.5, 2),
    (2, "medium"): (1.5, 2.5, 4, 5),
    (2, "slow"): (2.5, 5, 8, 11),
    (3, "rapid"): (1.5, 2, 2.5, 3.5),
    (3, "medium"): (2.5, 4, 7, 9),
    (3, "slow"): (3.5, 7, 12, 18),
    (4, "rapid"): (3, 5, 7, 9),
    (4, "medium"): (5, 9, 13, 18),
    (4, "slow"): (6, 12, 21, 30),
}
_DIN_DAYS: dict[Development, tuple[float, ...]] = {
    "rapid": (1, 1, 2, 3),
    "medium": (2, 2, 4, 6),
    "slow": (2, 4, 7, 10),
    "very-slow": (3, 5, 10, 15),
}
_ACI_DAYS: dict[Development, float] = {"rapid": 3, "medium": 7, "slow": 10, "very-slow": 14}

Bands = tuple[tuple[float, float], ...]


def curing_bands(product: Product, curing_class: CuringClass, codes: CodeId) -> Bands:
    """Return ((from °C, hours), …), warmest band first; empty where the code has no period for the product."""
    developing = _development(product, codes)
    if developing is None:
        return ()
    if codes == "aci":
        return ((10.0, _ACI_DAYS[developing] * 24),)
    if curing_class == 1:
        return ((5.0, 12.0),)
    if codes == "en":
        days = _EN_DAYS.get((curing_class, developing))
        return tuple(zip(_BANDS_C, (24 * one for one in days), strict=True)) if days else ()
    hours = 48 if curing_class == 4 else 24
    return tuple(zip(_BANDS_C, (hours * one for one in _DIN_DAYS[developing]), strict=True))


def period_rates(bands: Bands, temperature_c: Floats) -> Floats:
    """Return the share of the curing period that runs in an hour, for each minute between two temperatures [°C]."""
    low = np.minimum(temperature_c[:-1], temperature_c[1:])
    high = np.maximum(temperature_c[:-1], temperature_c[1:])
    rates, warmer = np.zeros(len(low)), np.zeros(len(low))
    for edge_c, hours in bands:
        above = share_above(low, high, edge_c)
        rates += (above - warmer) / hours
        warmer = above
    return rates


def _development(product: Product, codes: CodeId) -> Development | None:
    if product.development is not None or product.strength is None:
        return product.development
    curve = hardening_of(product.strength, codes)
    ratio = curve.mpa(48) / curve.fcm28_mpa
    steps: tuple[tuple[float, Development], ...] = ((0.50, "rapid"), (0.30, "medium"), (0.15, "slow"))
    return next((word for least, word in steps if ratio >= least), "very-slow")
