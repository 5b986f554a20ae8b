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
        required=f"{what} of {product.name}",
        found="no strength that tells when that is; the hours of its curve hold alone",
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
        required=f"{mpa:g} MPa of {product.name} at an equivalent age of {curve.youngest_h:.0f} to "
        f"{curve.oldest_h:.0f} h, where its curve is known",
        found=f"{mpa:g} MPa at {age_h:.1f} h by EN 1992-1-1 eq. 3.1{held}",
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
        required=f"a curve through the test results of {product.name} to within {100 * POOR_FIT:.0f} % of half its "
        "28-day strength, from three results or more",
        found=f"{curve.tests} results, {curve.error_mpa:.1f} MPa off (root mean square) a curve with "
        f"{curve.fcm28_mpa:.1f} MPa at 28 days and s = {curve.s:.2f}",
        weight=Weight.ADVICE,
        remedy="Check the results, or add more.",
    )


def _from_memory(codes: CodeSet) -> Finding:
    return Finding(
        code="curing-table",
        place=codes.id,
        required=f"minimum curing periods of {codes.curing.name} as printed",
        found=f"a table {codes.curing.certainty}",
        weight=Weight.ADVICE,
        remedy='Compare it with the standard, or use code_set = "din".',
    )
