"""Names inside a method: operations in follows, gaps, exposed stretches and plant holds; products and curves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from planner.jobfile.gate_references import gate_faults
from planner.jobfile.known import Known, has_all_ids
from planner.jobfile.suggest import did_you_mean, listed, shown
from planner.jobfile.tables import Table, TomlPath, ids, parts, text, texts


@dataclass(frozen=True)
class MethodFault:
    """A fault at a path inside a method."""

    code: str
    path: TomlPath
    found: str
    allowed: str
    hint: str = ""


def method_faults(method: Table, known: Known) -> Iterator[MethodFault]:
    """Yield every wrong name in one method."""
    operations = ids(method, "operations") if operations_known(method) else None
    for path, operation in parts(method, "operations"):
        for at, name in texts(operation, "follows", path):
            yield from _operation_fault(at, name, _others(operations, operation))
        yield from _product_fault(path, operation, known)
        covered = text(operation, "covers")
        if covered is not None and known.lacks("products", covered):
            yield _unknown("unknown-product", (*path, "covers"), covered, known.products)
    for path, gap in parts(method, "gaps"):
        yield from _ends(path, gap, ("after", "before"), operations)
        yield from _product_fault(path, gap, known)
        yield from _gate_faults(path, gap, known)
    for path, stretch in parts(method, "exposed"):
        yield from _ends(path, stretch, ("first", "last"), operations)
        yield from _in_order(path, stretch, operations)
        for at, fit in parts(stretch, "fit", path):
            yield from _ends(at, fit, ("after",), operations)
            yield from _product_fault(at, fit, known)
            yield from _fit_fault(at, fit, known)
            yield from _gate_faults(at, fit, known)
    for path, hold in parts(method, "plant_holds"):
        yield from _ends(path, hold, ("first", "last"), operations)
        yield from _in_order(path, hold, operations)


def operations_known(method: Table) -> bool:
    """Say whether the names of all operations of a method can be read."""
    return bool(ids(method, "operations")) and has_all_ids(method, "operations")


def _others(operations: list[str] | None, operation: Table) -> list[str] | None:
    return operations and [other for other in operations if other != text(operation, "id")]


def _operation_fault(path: TomlPath, name: str, operations: list[str] | None) -> Iterator[MethodFault]:
    if operations is not None and name not in operations:
        yield _unknown("unknown-operation", path, name, operations)


def _ends(path: TomlPath, table: Table, keys: tuple[str, ...], operations: list[str] | None) -> Iterator[MethodFault]:
    for key in keys:
        name = text(table, key)
        if name is not None:
            yield from _operation_fault((*path, key), name, operations)


def _in_order(path: TomlPath, table: Table, operations: list[str] | None) -> Iterator[MethodFault]:
    """The first operation of a stretch may not be listed after its last."""
    first, last = text(table, "first"), text(table, "last")
    if operations is None or first is None or last is None:
        return
    if first in operations and last in operations and operations.index(first) > operations.index(last):
        allowed = f"an operation listed with or after {shown(first)}"
        yield MethodFault("wrong-order", (*path, "last"), shown(last), allowed, "Exchange first and last.")


def _product_fault(path: TomlPath, table: Table, known: Known) -> Iterator[MethodFault]:
    product, curve = text(table, "product"), text(table, "curve")
    if product is None:
        return
    if product not in known.products:
        if known.lacks("products", product):
            yield _unknown("unknown-product", (*path, "product"), product, known.products)
    elif curve is not None and known.lacks_curve(product, curve):
        yield _unknown("unknown-curve", (*path, "curve"), curve, known.curves(product))


def _gate_faults(path: TomlPath, table: Table, known: Known) -> Iterator[MethodFault]:
    for fault in gate_faults(table, text(table, "product") or "", known):
        yield MethodFault(fault.code, (*path, fault.key), fault.found, fault.allowed, fault.hint)


def _fit_fault(path: TomlPath, fit: Table, known: Known) -> Iterator[MethodFault]:
    """Fit for traffic is when a gap opens, so its curve needs a not_before."""
    product, name = text(fit, "product"), text(fit, "curve")
    curve = known.curves(product).get(name) if product and name else None
    if isinstance(curve, dict) and "not_before" not in curve:
        yield MethodFault(
            "no-opening", (*path, "curve"), f"{shown(name)}, which never opens", "a curve with not_before"
        )


def _unknown(code: str, path: TomlPath, name: str, known: Iterable[str]) -> MethodFault:
    names = list(known)
    return MethodFault(code, path, shown(name), listed(names), did_you_mean(name, names))
