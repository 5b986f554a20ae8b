"""What strength gates and curing periods rest on: formulas beyond their range, thin fits, tables from memory."""

from __future__ import annotations

from collections.abc import Iterator

from planner.cure.codes import CodeSet
from planner.cure.gates import codes_of, curve_of, development_of
from planner.cure.strength import StrengthCurve
from planner.findings import Finding, Weight
from planner.model import Fit, Job, MethodGap, Product
from planner.network.work import product_of

POOR_FIT = 0.08
"""Root mean square of a fit over the mean of its results from which on it is called poor (own judgement)."""


def strength_notes(job: Job) -> Iterator[Finding]:
    """Yield advice on every gate in use, each once, in the order of the file."""
    codes = codes_of(job)
    found: dict[Finding, None] = {}
    for demand, product in _demands(job):
        for finding in _notes(demand, product, codes):
            found[finding] = None
    yield from found


def _demands(job: Job) -> Iterator[tuple[MethodGap | Fit, Product]]:
    """Yield each gap, and fit for traffic, that names a product, with the product that stands on the element."""
    for element in job.elements:
        method = job.method(element.method)
        for gap in method.gaps:
            if gap.product is not None and not {gap.after, gap.before} & set(element.omit):
                yield gap, job.product(product_of(element, gap.product))
        stretches = method.exposed if element.lanes and not element.held else ()
        for fit in (fit for stretch in stretches for fit in stretch.fit):
            if fit.after not in element.omit:
                yield fit, job.product(product_of(element, fit.product))


def _notes(demand: MethodGap | Fit, product: Product, codes: CodeSet) -> Iterator[Finding]:
    curve = curve_of(product, codes)
    if demand.strength_mpa is not None:
        if curve is None:
            yield _unstated(product, f"{demand.strength_mpa:g} MPa")
        else:
            yield from _range(product, curve, demand.strength_mpa)
            yield from _fit(product, curve)
    if isinstance(demand, MethodGap) and demand.curing_class is not None:
        developing = development_of(product, codes)
        if developing is None or not codes.curing.bands(demand.curing_class, developing):
            yield _unstated(product, f"the curing period of class {demand.curing_class}")
        elif "memory" in codes.curing.certainty:
            yield _from_memory(codes)


def _unstated(product: Product, what: str) -> Finding:
    return Finding(
        code="strength-unstated",
        place=product.id,
        required="",
        found=f"{product.name} states no strength, which {what} needs; the hours of its curve hold alone",
        weight=Weight.ADVICE,
        remedy="Add the product's strength: fcm28_mpa with s, or tests.",
    )


def _range(product: Product, curve: StrengthCurve, mpa: float) -> Iterator[Finding]:
    age_h = curve.age_h(mpa)
    if curve.youngest_h <= age_h <= curve.oldest_h:
        return
    early = age_h < curve.youngest_h
    held = f"; the gate waits for {curve.youngest_h:.1f} h" if early else ""
    yield Finding(
        code="strength-extrapolated",
        place=product.id,
        required="",
        found=f"{product.name} has {mpa:g} MPa at {age_h:.1f} h by EN 1992-1-1 eq. 3.1, but its curve is known from "
        f"{curve.youngest_h:.0f} to {curve.oldest_h:.0f} h only{held}",
        weight=Weight.ADVICE,
        remedy="Type in test results of that age.",
    )


def _fit(product: Product, curve: StrengthCurve) -> Iterator[Finding]:
    if curve.error_mpa is None:
        return
    mean = curve.fcm28_mpa / 2
    poor = curve.error_mpa > POOR_FIT * mean
    if not poor and curve.tests > 2:
        return
    yield Finding(
        code="strength-fit",
        place=product.id,
        required=f"three results or more, within {100 * POOR_FIT:.0f} % of half the 28-day strength",
        found=f"the strength of {product.name} rests on {curve.tests} test results, {curve.error_mpa:.1f} MPa off "
        f"(root mean square) a curve with {curve.fcm28_mpa:.1f} MPa at 28 days and s = {curve.s:.2f}",
        weight=Weight.ADVICE,
        remedy="Check the results, or add more.",
    )


def _from_memory(codes: CodeSet) -> Finding:
    return Finding(
        code="curing-table",
        place="curing",
        required="",
        found=f"minimum curing periods here follow {codes.curing.name} as remembered, not as printed",
        weight=Weight.ADVICE,
        remedy='Compare them with your copy; code_set = "din" has a table compared with two.',
    )
