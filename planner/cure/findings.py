"""What the curves of a job's products say that can't be meant, or that the planner had to fill in."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from planner.cure.rates import Rate, opening_hours, opening_rate, shutting_hours, shutting_rate
from planner.findings import Finding, Weight
from planner.model import GapCurve, Job, Product

COLDEST_C = -20.0
HOTTEST_C = 60.0
"""Surface temperatures [°C] between which two curves of one gap are compared."""
_RELATIVE_SLACK = 1e-9


def curve_findings(job: Job, coldest_c: float = COLDEST_C, hottest_c: float = HOTTEST_C) -> tuple[Finding, ...]:
    """Return the findings on all curves of the job's products, in the order of the file.

    coldest_c, hottest_c: temperatures [°C] that may come; advice on hours that the sheet does not give is left out
        where they don't reach so far.

    crossing: the gap shuts before it opens at some temperature; a breach where the data sheet's own points
        cross, advice where only the continuation beyond them does and work is not ruled out there.
    stalls-in-range: work is allowed at temperatures at which the opening clock stands still.
    beyond-sheet: work is allowed at temperatures hotter than the last point of a curve.
    """
    return tuple(
        finding
        for product in job.products
        for name, curve in product.curves.items()
        for finding in (
            *_crossing(product, name, curve),
            *_stalling(product, name, curve, coldest_c),
            *_beyond(product, name, curve, hottest_c),
        )
    )


def crossing_c(curve: GapCurve, coldest_c: float = COLDEST_C, hottest_c: float = HOTTEST_C) -> float | None:
    """Return the coldest checked temperature [°C] at which the gap shuts before it opens; None where there is none.

    Both curves are log-linear between knots, so their knots and the two ends are all that needs checking.
    Temperatures at which the opening clock stands still are left out: there the gap can't open by intent.
    """
    opening, shutting = opening_rate(curve), shutting_rate(curve)
    if opening is None or shutting is None:
        return None
    low = max(coldest_c, float(opening.knots_c[0]))
    inside = [warmth for warmth in _knots(opening, shutting) if low <= warmth <= hottest_c]
    checked = sorted({*inside, low, max(low, hottest_c)})
    opens, shuts = opening_hours(curve, checked), shutting_hours(curve, checked)
    crossed = np.flatnonzero(opens > shuts * (1.0 + _RELATIVE_SLACK))
    return checked[crossed[0]] if crossed.size else None


def _knots(*rates: Rate) -> list[float]:
    return [float(warmth) for rate in rates for warmth in rate.knots_c]


def _crossing(product: Product, name: str, curve: GapCurve) -> Iterator[Finding]:
    warmth = crossing_c(curve)
    if warmth is None or curve.not_before is None or curve.not_after is None:
        return
    on_sheet = warmth <= max(curve.not_before[-1][0], curve.not_after[-1][0])
    if not on_sheet and _allowed_c(product)[1] < warmth:
        return
    opens, shuts = float(opening_hours(curve, warmth)), float(shutting_hours(curve, warmth))
    yield Finding(
        code="crossing",
        place=product.id,
        required=f"{name}: not_before no later than not_after at every temperature",
        found=f"not before {opens:.4g} h but not after {shuts:.4g} h at {warmth:g} °C",
        weight=Weight.BREACH if on_sheet else Weight.ADVICE,
        remedy="Check both curves against the data sheet."
        if on_sheet
        else "Add the sheet's hours for hotter surfaces, or state the product's highest surface temperature.",
    )


def _stalling(product: Product, name: str, curve: GapCurve, coldest_c: float) -> Iterator[Finding]:
    rate = opening_rate(curve)
    coldest = _allowed_c(product)[0]
    if rate is None or not math.isfinite(coldest) or max(coldest, coldest_c) >= rate.knots_c[0]:
        return
    yield Finding(
        code="stalls-in-range",
        place=product.id,
        required=f"{name}: hours from {coldest:g} °C up, where the product may be placed",
        found=f"hours from {rate.knots_c[0]:g} °C up; colder, the opening clock stands still",
        weight=Weight.ADVICE,
        remedy="Add a colder point, or stalls_below_c where the sheet says so.",
    )


def _beyond(product: Product, name: str, curve: GapCurve, hottest_c: float) -> Iterator[Finding]:
    hottest = _allowed_c(product)[1]
    lasts = [points[-1][0] for points in (curve.not_before, curve.not_after) if points and len(points) > 1]
    if not math.isfinite(hottest) or not lasts or min(hottest, hottest_c) <= min(lasts):
        return
    yield Finding(
        code="beyond-sheet",
        place=product.id,
        required=f"{name}: hours up to {hottest:g} °C, where the product may be placed",
        found=f"hours up to {min(lasts):g} °C; hotter, a gap opens no sooner, and shuts ever sooner",
        weight=Weight.ADVICE,
        remedy="Add a hotter point from the data sheet.",
    )


def _allowed_c(product: Product) -> tuple[float, float]:
    """Return the surface temperatures [°C] at which the product may be placed; infinite where not stated."""
    return product.conditions.surface_c or (-math.inf, math.inf)
