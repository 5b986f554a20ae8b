"""How fast a product hardens and how strong it then is, stated a second time: rates, strengths and test results.

Hardening is counted from 0 to 80 °C only: nothing below, and above no more than at 80 °C.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from planner.audit.clocks import Floats
from planner.model import CodeId, Strength

_KELVIN = 273.15
_GAS = 8.314
_LEAST_C, _MOST_C = 0.0, 80.0
_FORMULA_H = 24.0
"""Age [h] before which a strength that rests on no test is not claimed."""
_END_H = 400 * 24.0


def rate_at(strength: Strength, codes: CodeId, temperature_c: Floats) -> Floats:
    """Return how many hours at its reference temperature one hour at each temperature [°C] is worth."""
    warmth = np.asarray(temperature_c, dtype=np.float64)
    if strength.activation_kj_mol is not None:
        reference = _KELVIN + (23.0 if codes == "aci" else 20.0)
        return np.exp(strength.activation_kj_mol * 1000 / _GAS * (1 / reference - 1 / (_KELVIN + warmth)))
    law = strength.maturity or ("c1074" if codes == "aci" else "en-b10")
    if law == "en-b10":
        return np.exp(13.65 - 4000 / (273 + warmth))
    if law == "c1074":
        return np.exp(5000 / (273 + 23) - 5000 / (273 + warmth))
    if law == "saul":
        return np.maximum(warmth + 10, 0) / 30
    energy = np.where(warmth < 20, 33_500 + 1_470 * (20 - warmth), 33_500)
    return np.exp(energy / _GAS * (1 / (273 + 20) - 1 / (273 + warmth)))


def minute_rates(strength: Strength, codes: CodeId, temperature_c: Floats) -> Floats:
    """Return the rate in each minute from temperatures [°C] at its ends; a minute that passes 0 °C is cut there."""
    low = np.minimum(temperature_c[:-1], temperature_c[1:])
    high = np.maximum(temperature_c[:-1], temperature_c[1:])
    share = share_above(low, high, _LEAST_C)
    middle = (np.maximum(low, _LEAST_C) + high) / 2
    rates = rate_at(strength, codes, np.clip(middle, _LEAST_C, _MOST_C))
    return np.where(share > 0, share * rates, 0.0)


def share_above(low_c: Floats, high_c: Floats, edge_c: float) -> Floats:
    """Return the share of each minute spent at or above `edge_c`, the temperature going straight through it."""
    rise = np.where(high_c > low_c, high_c - low_c, 1.0)
    return np.where(low_c >= edge_c, 1.0, np.clip((high_c - edge_c) / rise, 0.0, 1.0))


@dataclass(frozen=True)
class Hardening:
    """Strength against equivalent age: mean at 28 days [MPa], coefficient s, and the age [h] from which it holds."""

    fcm28_mpa: float
    s: float
    from_h: float

    def mpa(self, age_h: float) -> float:
        """Return the strength [MPa] at an equivalent age [h]."""
        return self.fcm28_mpa * math.exp(self.s - self.s * math.sqrt(672.0 / age_h)) if age_h > 0 else 0.0

    def age_h(self, mpa: float) -> float:
        """Return the equivalent age [h] from which a strength [MPa] counts as reached; infinity if it never is."""
        if self.mpa(_END_H) < mpa:
            return math.inf
        low, high = 0.0, _END_H
        while high - low > 1e-9:
            middle = (low + high) / 2
            low, high = (low, middle) if self.mpa(middle) >= mpa else (middle, high)
        return max(high, self.from_h)


def hardening_of(strength: Strength, codes: CodeId) -> Hardening:
    """Return the curve of a product, through its test results where it has them."""
    if strength.fcm28_mpa is not None and strength.s is not None:
        return Hardening(strength.fcm28_mpa, strength.s, _FORMULA_H)
    kept = np.array([kept_c for _, kept_c, _ in strength.tests])
    ages = np.array([age_h for age_h, _, _ in strength.tests]) * rate_at(strength, codes, kept)
    fcm28, s = _fitted(ages, np.array([mpa for _, _, mpa in strength.tests]))
    return Hardening(fcm28, s, float(ages.min()))


def _fitted(ages_h: Floats, mpa: Floats) -> tuple[float, float]:
    """Return (fcm28, s) of least squares in MPa: Gauss–Newton from the straight line through the logarithms."""
    bend = 1 - np.sqrt(672.0 / ages_h)
    s, level = np.polyfit(bend, np.log(mpa), 1)
    for _ in range(60):
        read = np.exp(level + s * bend)
        slopes = np.column_stack([read, read * bend])
        step = np.linalg.lstsq(slopes, mpa - read, rcond=None)[0]
        length = 1.0
        while length > 1e-6 and _squares(ages_h, mpa, level + length * step[0], s + length * step[1]) > _squares(
            ages_h, mpa, level, s
        ):
            length /= 2
        level, s = level + length * step[0], s + length * step[1]
        if np.abs(length * step).max() < 1e-12:
            break
    return float(np.exp(level)), float(s)


def _squares(ages_h: Floats, mpa: Floats, level: float, s: float) -> float:
    return float(np.sum((np.exp(level + s * (1 - np.sqrt(672.0 / ages_h))) - mpa) ** 2))
