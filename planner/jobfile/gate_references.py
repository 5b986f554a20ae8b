"""Strength gates and curing classes: the product behind each must say how it hardens, and must get so strong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeGuard, get_args

from pydantic import ValidationError

from planner.cure.codes import code_set
from planner.cure.strength import StrengthCurve, development_class, strength_curve
from planner.errors import OutOfRangeError
from planner.jobfile.faultbook import FaultBook
from planner.jobfile.known import Known, is_misspelt
from planner.jobfile.suggest import listed, shown
from planner.jobfile.tables import Table, parts, text
from planner.model import CuringClass, Development, Product, Strength

_HINT = "Give the product fcm28_mpa with s, or tests; or name a curve beside this, which then stands alone."
_STRONGEST_MPA = 250


@dataclass(frozen=True)
class GateFault:
    """A fault at one `key` of a gap or fit."""

    key: str
    code: str
    found: str
    allowed: str
    hint: str = ""


def check_strengths(own: Table, known: Known, book: FaultBook) -> None:
    """Write down test results through which no strength curve goes."""
    for path, product in parts(own, "products"):
        strength = _strength(product)
        if strength is None:
            continue
        try:
            strength_curve(strength, code_set(known.code_set).law)
        except OutOfRangeError as error:
            found = shown([list(test) for test in strength.tests])
            book.add("bad-tests", (*path, "strength", "tests"), found, f"a strength that rises with age, but {error}")


def gate_faults(demand: Table, product: str, known: Known) -> Iterator[GateFault]:
    """Yield a fault for each gate in a gap or fit that `product` can't be held to."""
    table = known.products.get(product)
    if table is None:
        return
    alone = text(demand, "curve") is None
    mpa, curing_class = demand.get("strength_mpa"), demand.get("curing_class")
    if _is_strength(mpa):
        yield from _strength_faults(product, table, mpa, alone, known)
    if _is_class(curing_class) and alone:
        yield from _curing_faults(product, table, curing_class, known)


def _strength_faults(product: str, table: Table, mpa: float, alone: bool, known: Known) -> Iterator[GateFault]:
    if _unstated(table, "strength") and alone:
        found = f"{mpa:g} MPa of {shown(product)}, which states no strength"
        yield GateFault("strength_mpa", "no-strength", found, "a product with a strength", _HINT)
    curve = _curve(table, known)
    if curve is None:
        return
    try:
        curve.gate_h(mpa)
    except OutOfRangeError as error:
        found = f"{mpa:g} MPa of {shown(product)}"
        yield GateFault("strength_mpa", "never-strong", found, f"a strength that it reaches, but {error}")


def _curing_faults(product: str, table: Table, curing_class: CuringClass, known: Known) -> Iterator[GateFault]:
    if _unstated(table, "strength") and _unstated(table, "development"):
        found = f"class {curing_class} for {shown(product)}, which does not say how fast it gains strength"
        yield GateFault("curing_class", "no-development", found, "a product with a development or a strength", _HINT)
        return
    developing, curing = _development(table, known), code_set(known.code_set).curing
    if developing is not None and not curing.bands(curing_class, developing):
        found = f"class {curing_class} for {shown(product)}, which is {developing}"
        allowed = f"a development for which {curing.name} has a period: {listed(curing.developments)}"
        yield GateFault("curing_class", "no-curing-period", found, allowed)


def _development(table: Table, known: Known) -> Development | None:
    stated = text(table, "development")
    if stated is not None:
        return stated if _is_development(stated) else None
    curve = _curve(table, known)
    return development_class(curve.ratio) if curve is not None else None


def _curve(product: Table, known: Known) -> StrengthCurve | None:
    """Return a product's strength curve; None where it has none, or a faulty one of which others tell."""
    strength = _strength(product)
    try:
        return strength_curve(strength, code_set(known.code_set).law) if strength is not None else None
    except OutOfRangeError:
        return None


def _strength(product: Table) -> Strength | None:
    """Return a product's strength where it has the right shape; faults in its shape are told elsewhere."""
    try:
        return Strength.model_validate(product["strength"]) if "strength" in product else None
    except ValidationError:
        return None


def _unstated(product: Table, key: str) -> bool:
    return key not in product and not is_misspelt(product, key, Product.model_fields)


def _is_strength(value: Any) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value <= _STRONGEST_MPA


def _is_class(value: Any) -> TypeGuard[CuringClass]:
    return isinstance(value, int) and not isinstance(value, bool) and value in get_args(CuringClass)


def _is_development(word: str) -> TypeGuard[Development]:
    return word in get_args(Development)
