"""Strength gates and curing periods as gap curves, so that one kind of clock serves every gap.

A gate that needs an equivalent age t is a gap that opens after t / k(T) hours at temperature T. Log-linear chords
over every degree lie above that curve, since -ln k is convex for every law here: the gate opens late, never early.
A curing period is a staircase of hours: each step is a chord over `STEP_C` above the band's lower end.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from planner.cure.codes import CodeSet, code_set
from planner.cure.maturity import COLDEST_C, HOTTEST_C, MaturityLaw
from planner.cure.strength import LONGEST_H, StrengthCurve, development_class, law_of, strength_curve
from planner.model import CuringClass, Development, GapCurve, Job, Product

STEP_C = 0.01
"""Width [K] over which the hours of one curing band go over into those of the next, on its warm side."""


@lru_cache(maxsize=256)
def age_gap(law: MaturityLaw, age_h: float) -> GapCurve:
    """Return the gap that opens at an equivalent age [h], with a point every degree.

    Colder than `COLDEST_C`, or so cold that it would take over 400 days, its clock stands still. Remembered.
    """
    warmths = np.arange(COLDEST_C, HOTTEST_C + 0.5)
    rates = law.rate(warmths)
    points = [
        (float(warmth), age_h / float(rate))
        for warmth, rate in zip(warmths, rates, strict=True)
        if age_h <= LONGEST_H * rate
    ]
    return GapCurve(not_before=tuple(points))


@lru_cache(maxsize=256)
def period_gap(bands: tuple[tuple[float, float], ...]) -> GapCurve:
    """Return the gap that opens after a curing period given as ((from °C, hours), …), temperatures rising."""
    points = [bands[0]]
    for low_c, hours in bands[1:]:
        points += [(low_c, points[-1][1]), (low_c + STEP_C, hours)]
    return GapCurve(not_before=tuple(points))


def strength_gap(product: Product, mpa: float, codes: CodeSet) -> GapCurve | None:
    """Return the gap that opens at a strength [MPa]; None where the product says nothing of its strength.

    Raises OutOfRangeError where the product never gets so strong.
    """
    if product.strength is None:
        return None
    return age_gap(law_of(product.strength, codes.law), strength_curve(product.strength, codes.law).gate_h(mpa))


def curing_gap(product: Product, curing_class: CuringClass, codes: CodeSet) -> GapCurve | None:
    """Return the gap that opens after the code's minimum curing period; None where it can't be told."""
    developing = development_of(product, codes)
    bands = codes.curing.bands(curing_class, developing) if developing is not None else ()
    return period_gap(bands) if bands else None


def development_of(product: Product, codes: CodeSet) -> Development | None:
    """Return how fast a product gains strength: as it says, else by its curve; None where it says neither."""
    if product.development is not None or product.strength is None:
        return product.development
    return development_class(strength_curve(product.strength, codes.law).ratio)


def codes_of(job: Job) -> CodeSet:
    """Return the code set that the job keeps."""
    return code_set(job.job.code_set)


def curve_of(product: Product, codes: CodeSet) -> StrengthCurve | None:
    """Return a product's strength curve under a code set; None where it has none."""
    return None if product.strength is None else strength_curve(product.strength, codes.law)
