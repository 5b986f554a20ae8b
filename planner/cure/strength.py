"""Strength against equivalent age after EN 1992-1-1, the age for a strength, and the fit to test results.

    fcm(t) = fcm28 exp(s (1 - sqrt(28 / t))), t in days at the reference temperature

EN 1992-1-1:2004 eq. 3.1 and 3.2; s = 0.20 for cements 42.5 R and 52.5, 0.25 for 32.5 R and 42.5 N, 0.38 for 32.5 N.
The 2023 edition changes the values of s (from memory), which is why s is the product's own here.

The form is not made for early ages. A curve from fcm28 and s claims nothing before 24 h, one from test results
nothing before the youngest test: a gate is not open sooner, whatever the formula says (own rule, safe side).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from planner.cure.maturity import LAWS, MaturityLaw, own_law
from planner.cure.rates import Floats
from planner.errors import OutOfRangeError
from planner.model import Development, Strength

DAY_H = 24.0
REFERENCE_H = 28 * DAY_H
FORMULA_FROM_H = DAY_H
"""Youngest age [h] at which the formula alone is taken at its word (own rule; EN 1992-1-1 gives fck from 3 days)."""
LONGEST_H = 400 * DAY_H
"""No gate waits longer: the longest job [h]."""
_LEAST_S, _MOST_S = 0.005, 1.5


@dataclass(frozen=True)
class StrengthCurve:
    """Mean strength against equivalent age.

    youngest_h, oldest_h: ages [h] between which the curve is known. error_mpa: root mean square of the fit
    [MPa], None where nothing was fitted. tests: number of results behind it.
    """

    fcm28_mpa: float
    s: float
    youngest_h: float = FORMULA_FROM_H
    oldest_h: float = REFERENCE_H
    error_mpa: float | None = None
    tests: int = 0

    def at(self, age_h: ArrayLike) -> Floats:
        """Return the strength [MPa] by the formula at equivalent ages [h]; 0 at age 0."""
        return self.fcm28_mpa * development(age_h, self.s)

    def age_h(self, mpa: float) -> float:
        """Return the equivalent age [h] at which the formula gives a strength [MPa].

        Raises OutOfRangeError where it is not reached within 400 days.
        """
        logarithm = math.log(mpa / self.fcm28_mpa)
        if logarithm < self.s:
            age_h = REFERENCE_H / (1.0 - logarithm / self.s) ** 2
            if age_h <= LONGEST_H:
                return age_h
        most = float(self.at(LONGEST_H))
        raise OutOfRangeError(f"{mpa:g} MPa is not reached: at most {most:.1f} MPa within 400 days")

    def gate_h(self, mpa: float) -> float:
        """Return the equivalent age [h] from which a gate at a strength [MPa] is open: never before `youngest_h`."""
        return max(self.age_h(mpa), self.youngest_h)

    @property
    def ratio(self) -> float:
        """r of EN 13670 Annex F: mean strength at 2 days over that at 28 days."""
        return float(development(2 * DAY_H, self.s))


def development(age_h: ArrayLike, s: float) -> Floats:
    """Return beta_cc of EN 1992-1-1:2004 eq. 3.2 at equivalent ages [h]; 0 at age 0."""
    age = np.asarray(age_h, dtype=np.float64)
    known = age > 0.0
    return np.where(known, np.exp(s * (1.0 - np.sqrt(REFERENCE_H / np.where(known, age, 1.0)))), 0.0)


def development_class(ratio: float) -> Development:
    """Return the strength development of EN 13670 Annex F and DIN 1045-3 for r = fcm2 / fcm28."""
    if ratio >= 0.50:
        return "rapid"
    if ratio >= 0.30:
        return "medium"
    return "slow" if ratio >= 0.15 else "very-slow"


def fit_strength(ages_h: Sequence[float], mpa: Sequence[float]) -> StrengthCurve:
    """Return the curve through test results with the least squares of the differences in MPa.

    ages_h: equivalent ages [h], at least two different ones. mpa: strengths [MPa].
    For each s the best fcm28 is a quotient of sums; s is then found by golden section between the two neighbours of
    the best of 300 values, so no starting guess is needed.
    Raises OutOfRangeError where the results don't rise with age as any such curve does.
    """
    ages, strengths = np.asarray(ages_h, dtype=np.float64), np.asarray(mpa, dtype=np.float64)
    if len(set(ages.tolist())) < 2:
        raise OutOfRangeError("a strength curve needs results at two ages or more")
    tried = np.linspace(_LEAST_S, _MOST_S, 300)
    best = int(np.argmin(_misfits(ages, strengths, tried)))
    if best in (0, len(tried) - 1):
        raise OutOfRangeError("the results don't rise with age as those of a hardening cement do")
    s = _least(ages, strengths, float(tried[best - 1]), float(tried[best + 1]))
    misfit, fcm28 = _misfit(ages, strengths, s)
    error = math.sqrt(misfit / len(ages))
    return StrengthCurve(fcm28, s, float(ages.min()), float(ages.max()), error, len(ages))


def law_of(strength: Strength, code_law: MaturityLaw) -> MaturityLaw:
    """Return the law by which a product's equivalent age is counted: its own, or the code set's."""
    if strength.activation_kj_mol is not None:
        return own_law(strength.activation_kj_mol, round(code_law.reference_c))
    return code_law if strength.maturity is None else LAWS[strength.maturity]


def strength_curve(strength: Strength, code_law: MaturityLaw) -> StrengthCurve:
    """Return a product's curve; its tests are brought to the reference temperature by its law.

    Raises OutOfRangeError where the tests can't be fitted.
    """
    if strength.fcm28_mpa is not None and strength.s is not None:
        return StrengthCurve(strength.fcm28_mpa, strength.s)
    law = law_of(strength, code_law)
    ages = [age_h * float(law.rate(kept_c)) for age_h, kept_c, _ in strength.tests]
    return _fitted(tuple(ages), tuple(mpa for _, _, mpa in strength.tests))


@lru_cache(maxsize=1000)
def _fitted(ages_h: tuple[float, ...], mpa: tuple[float, ...]) -> StrengthCurve:
    """Return `fit_strength`, kept: a job asks for the same curve at every gap of every trial."""
    return fit_strength(ages_h, mpa)


def _misfit(ages_h: Floats, mpa: Floats, s: float) -> tuple[float, float]:
    """Return the sum of squares [MPa²] and the fcm28 [MPa] that makes it least for this s."""
    shape = development(ages_h, s)
    fcm28 = float(shape @ mpa / (shape @ shape))
    return float(np.sum((fcm28 * shape - mpa) ** 2)), fcm28


def _misfits(ages_h: Floats, mpa: Floats, tried: Floats) -> Floats:
    """Return the sum of squares [MPa²] of `_misfit` for each of many s > 0."""
    shapes = np.exp(tried[:, None] * np.log(development(ages_h, 1.0)))
    fcm28 = shapes @ mpa / (shapes * shapes).sum(axis=1)
    return np.asarray(np.sum((fcm28[:, None] * shapes - mpa) ** 2, axis=1))


def _least(ages_h: Floats, mpa: Floats, low: float, high: float) -> float:
    """Return the s of least misfit between `low` and `high`, by golden section."""
    share = (math.sqrt(5.0) - 1.0) / 2.0
    while high - low > 1e-10:
        left, right = high - share * (high - low), low + share * (high - low)
        if _misfit(ages_h, mpa, left)[0] < _misfit(ages_h, mpa, right)[0]:
            high = right
        else:
            low = left
    return (low + high) / 2.0
