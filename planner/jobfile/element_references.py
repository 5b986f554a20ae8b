"""Names in elements and links, and what each element's method needs of the job: quantities, skills, plant, curves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeGuard

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.gate_references import gate_faults
from planner.jobfile.known import Known, is_misspelt
from planner.jobfile.method_needs import MethodNeeds, kept_operations, omitted_operations
from planner.jobfile.method_references import method_faults, operations_known
from planner.jobfile.suggest import did_you_mean, listed, shown
from planner.jobfile.tables import Table, TomlPath, ids, inner, parts, path_words, text, texts
from planner.model import Element

_LONGEST_H = 24.0 * 400
"""No operation is longer than the longest job."""


def check_elements(own: Table, known: Known, book: FaultBook) -> None:
    """Write down every wrong name and every missing quantity of the job's elements."""
    checked: set[str] = set()
    needs = MethodNeeds(own, known, book)
    for path, element in parts(own, "elements"):
        _check_names(path, element, known, book)
        method = known.methods.get(text(element, "method") or "")
        if method is None:
            continue
        _check_operation_names(path, element, method, book)
        _check_lengths(path, element, method, book)
        needs.check(path, element, method)
        _check_substitutes(path, element, method, known, book)
        if text(element, "method") not in ids(own, "methods"):
            _check_library_method(path, method, known, book, checked)


def check_links(own: Table, known: Known, book: FaultBook) -> None:
    """Write down every link to an operation that no element has."""
    keys = [key for name, element in known.elements.items() for key in _keys(name, element, known)]
    unread = {
        name
        for name, element in known.elements.items()
        if not operations_known(known.methods.get(text(element, "method") or "", {}))
    }
    if "elements" in known.doubtful:
        return
    for path, link in parts(own, "links"):
        for end in ("after", "before"):
            key = text(link, end)
            if key is not None and "/" in key and key not in keys and key.split("/")[0] not in unread:
                book.unknown("unknown-operation", (*path, end), key, keys)


def _keys(name: str, element: Table, known: Known) -> list[str]:
    method = known.methods.get(text(element, "method") or "", {})
    return [f"{name}/{text(operation, 'id')}" for operation in kept_operations(element, method)]


def _check_names(path: TomlPath, element: Table, known: Known, book: FaultBook) -> None:
    method, structure = text(element, "method"), text(element, "structure")
    if method is not None and known.lacks("methods", method):
        book.unknown("unknown-method", (*path, "method"), method, known.methods)
    if structure is not None and known.lacks("structures", structure):
        book.unknown("unknown-structure", (*path, "structure"), structure, known.structures)
    for at, lane in texts(element, "lanes", path):
        if known.lacks("lanes", lane):
            book.unknown("unknown-lane", at, lane, known.lanes)


def _check_operation_names(path: TomlPath, element: Table, method: Table, book: FaultBook) -> None:
    if not operations_known(method):
        return
    operations = ids(method, "operations")
    named = [((*path, "hours", name), name) for name in inner(element, "hours")]
    for at, name in [*named, *texts(element, "omit", path)]:
        if name not in operations:
            book.unknown("unknown-operation", at, name, operations)
    if operations and not kept_operations(element, method):
        book.add("nothing-left", (*path, "omit"), "every operation of the method", "at least one left to do")


def _check_lengths(path: TomlPath, element: Table, method: Table, book: FaultBook) -> None:
    """The operations that this element keeps need their quantities."""
    for operation in kept_operations(element, method):
        words = f"operation '{text(operation, 'id')}' of method '{text(method, 'id')}'"
        _check_length(path, element, operation, words, book)


def _check_length(path: TomlPath, element: Table, operation: Table, words: str, book: FaultBook) -> None:
    quantity = text(operation, "quantity")
    if quantity is None or text(operation, "id") in inner(element, "hours"):
        return
    quantities = inner(element, "quantities")
    if is_misspelt(element, "quantities", Element.model_fields):
        return
    if quantity not in quantities:
        found = f"no {quantity}, which {words} needs"
        given = f"; given: {listed(quantities)}" if quantities else ""
        allowed = f"quantities with {quantity}{given}"
        book.add("missing-quantity", (*path, "quantities"), found, allowed, did_you_mean(quantity, quantities))
        return
    amount, output = quantities[quantity], operation.get("output_per_h")
    if _is_number(amount) and _is_number(output) and output > 0 and amount > _LONGEST_H * output:
        found = f"{shown(amount)}, which makes {words} longer than any job"
        book.add("too-long", (*path, "quantities", quantity), found, f"at most {_LONGEST_H * output:g}")


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _check_substitutes(path: TomlPath, element: Table, method: Table, known: Known, book: FaultBook) -> None:
    """A substitute must stand for a product of the method, exist, and have the curves that the method asks of it."""
    omitted = omitted_operations(element)
    used = list(dict.fromkeys(product for product, _ in _demands(method, set())))
    for product, substitute in inner(element, "products").items():
        at = (*path, "products", product)
        if product not in used:
            book.unknown("unused-product", at, product, used)
        if not isinstance(substitute, str):
            continue
        if substitute not in known.products:
            if known.lacks("products", substitute):
                book.unknown("unknown-product", at, substitute, known.products)
            continue
        for name, demand in _demands(method, omitted):
            if name != product:
                continue
            curve = text(demand, "curve")
            if curve is not None and known.lacks_curve(substitute, curve):
                found = f"{shown(substitute)}, which has no curve {shown(curve)}"
                book.add("unknown-curve", at, found, f"a product with the curve {shown(curve)}")
            for fault in gate_faults(demand, substitute, known):
                book.add(fault.code, at, fault.found, fault.allowed, fault.hint)


def _demands(method: Table, omitted: set[str | None]) -> Iterator[tuple[str, Table]]:
    """Yield (product, the table that names it) of a method, save where an omitted operation is concerned."""
    fits = [fit for _, stretch in parts(method, "exposed") for _, fit in parts(stretch, "fit")]
    gaps = [gap for _, gap in parts(method, "gaps")]
    operations = [operation for _, operation in parts(method, "operations")]
    for part in [*operations, *gaps, *fits]:
        product = text(part, "product")
        ends = {text(part, key) for key in ("id", "after", "before")}
        if product is not None and not ends & omitted:
            yield product, part


def _check_library_method(path: TomlPath, method: Table, known: Known, book: FaultBook, checked: set[str]) -> None:
    """A library method can be wrong only where the job replaced a product by one without the curves it needs."""
    name = text(method, "id") or ""
    if name in checked:
        return
    checked.add(name)
    for fault in method_faults(method, known):
        found = f"library method '{name}', {path_words(fault.path, method)}: {fault.found}"
        book.add(fault.code, (*path, "method"), found, fault.allowed, fault.hint)
