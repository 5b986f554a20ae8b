"""Names in alternatives and remedies: elements, operations, products and their curves, plant, skills, quantities."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.known import Known
from planner.jobfile.method_needs import kept_operations, omitted_operations
from planner.jobfile.suggest import listed, shown
from planner.jobfile.tables import Table, TomlPath, ids, inner, parts, text, texts


def check_options(own: Table, known: Known, book: FaultBook) -> None:
    """Write down every wrong name in what a job and its own methods leave to be chosen."""
    for path, method in parts(own, "methods"):
        operations = ids(method, "operations")
        for at, operation in parts(method, "operations", path):
            for where, alternative in parts(operation, "alternatives", at):
                _check_alternative(where, alternative, known, book)
                _check_within(where, alternative, operation, method, known, book)
            _check_once(parts(operation, "alternatives", at), "alternative", book)
            _check_covers((*at, "enclosure"), inner(operation, "enclosure"), operations, book)
        for at, gap in parts(method, "gaps", path):
            _check_remedy((*at, "remedy_work"), inner(gap, "remedy_work"), operations, known, book)
    for path, alternative in parts(own, "alternatives"):
        _check_alternative(path, alternative, known, book)
        for _at, _id, element, method in elements_of(path, alternative, known, book):
            _check_offered(path, alternative, element, method, known, book)
    for path, remedy in parts(own, "remedies"):
        for _at, _id, element, method in elements_of(path, remedy, known, book):
            _check_offered_remedy(path, remedy, element, method, known, book)
    _check_offered_once(own, book)


def elements_of(
    path: TomlPath, offer: Table, known: Known, book: FaultBook
) -> Iterator[tuple[TomlPath, str, Table, Table]]:
    """Yield where each element that an offer of the job is for is named, its id, its table and its method's.

    A name of no element is written down.
    """
    for at, name in texts(offer, "elements", path):
        element = known.elements.get(name)
        if element is None:
            if known.lacks("elements", name):
                book.unknown("unknown-element", at, name, known.elements)
            continue
        method = known.methods.get(text(element, "method") or "")
        if method is not None:
            yield at, name, element, method


def _check_alternative(path: TomlPath, alternative: Table, known: Known, book: FaultBook) -> None:
    _check_product(path, alternative, known, book)
    _check_plant(path, alternative, known, book)


def _check_product(path: TomlPath, part: Table, known: Known, book: FaultBook) -> None:
    product, curve = text(part, "product"), text(part, "curve")
    if product is not None and known.lacks("products", product):
        book.unknown("unknown-product", (*path, "product"), product, known.products)
    elif product in known.products and curve is not None and known.lacks_curve(product or "", curve):
        book.unknown("unknown-curve", (*path, "curve"), curve, known.curves(product or ""))


def _check_plant(path: TomlPath, part: Table, known: Known, book: FaultBook) -> None:
    for at, plant in texts(part, "plant", path):
        if known.lacks("plant", plant):
            book.unknown("unknown-plant", at, plant, known.plant)


def _check_covers(path: TomlPath, enclosure: Table, operations: list[str], book: FaultBook) -> None:
    for at, name in texts(enclosure, "covers", path):
        if operations and name not in operations:
            book.unknown("unknown-operation", at, name, operations)


def _check_within(
    path: TomlPath, alternative: Table, operation: Table, method: Table, known: Known, book: FaultBook
) -> None:
    """Check what an alternative names in the method of its operation."""
    _check_covers((*path, "enclosure"), inner(alternative, "enclosure"), ids(method, "operations"), book)
    stretches = [text(stretch, "name") or "" for _, stretch in parts(method, "exposed")]
    plated = text(inner(alternative, "plating"), "stretch")
    if plated is not None and plated not in stretches:
        book.unknown("unknown-stretch", (*path, "plating", "stretch"), plated, stretches)
    if alternative.get("output_per_h") is not None and text(operation, "quantity") is None:
        found = f"an output, while operation {shown(text(operation, 'id'))} has no quantity"
        book.add("no-quantity", (*path, "output_per_h"), found, "hours instead")
    product = text(alternative, "product")
    if product in known.products and text(operation, "product") is None:
        found = f"{shown(product)}, while operation {shown(text(operation, 'id'))} uses no product"
        book.add("no-product", (*path, "product"), found, "an operation with a product to replace")
    elif product in known.products:
        for curve in _curves_asked(method, operation):
            if known.lacks_curve(product or "", curve):
                found = f"{shown(product)}, which has no curve {shown(curve)}"
                book.add("unknown-curve", (*path, "product"), found, f"a product with the curve {shown(curve)}")


def _curves_asked(method: Table, operation: Table) -> Iterable[str]:
    """Return the curves of the operation's product that gaps and fits measured from it ask for."""
    fits = [fit for _, stretch in parts(method, "exposed") for _, fit in parts(stretch, "fit")]
    demands = [*fits, *(gap for _, gap in parts(method, "gaps"))]
    id, product = text(operation, "id"), text(operation, "product")
    asked = (text(one, "curve") for one in demands if text(one, "after") == id and text(one, "product") == product)
    return dict.fromkeys(curve for curve in asked if curve is not None)


def _check_offered(
    path: TomlPath, alternative: Table, element: Table, method: Table, known: Known, book: FaultBook
) -> None:
    name = text(alternative, "operation")
    operations = {text(operation, "id") or "": operation for operation in kept_operations(element, method)}
    if name is None:
        return
    if name not in operations:
        book.unknown("unknown-operation", (*path, "operation"), name, operations)
        return
    _check_within(path, alternative, operations[name], method, known, book)


def _check_remedy(path: TomlPath, remedy: Table, operations: list[str], known: Known, book: FaultBook) -> None:
    """Check a remedy's own names; its id may not be that of an operation of the method."""
    if not remedy:
        return
    _check_product(path, remedy, known, book)
    _check_plant(path, remedy, known, book)
    skill, id = text(remedy, "skill"), text(remedy, "id")
    if skill is not None and known.lacks("skills", skill):
        book.unknown("unknown-skill", (*path, "skill"), skill, known.skills)
    if id is not None and id in operations:
        found = f"{shown(id)}, which is an operation of the method"
        book.add("duplicate-id", (*path, "id"), found, "an id that no operation of the method has")


def _check_offered_remedy(
    path: TomlPath, remedy: Table, element: Table, method: Table, known: Known, book: FaultBook
) -> None:
    _check_remedy(path, remedy, ids(method, "operations"), known, book)
    ends = text(remedy, "after"), text(remedy, "before")
    omitted = omitted_operations(element)
    gaps = [(text(gap, "after"), text(gap, "before")) for _, gap in parts(method, "gaps")]
    there = [gap for gap in gaps if not set(gap) & omitted]
    if None not in ends and ends not in there:
        found = f"{ends[0]} > {ends[1]}, for {shown(text(element, 'id'))}"
        book.add("unknown-gap", (*path, "before"), found, listed([f"{after} > {before}" for after, before in there]))
    quantity = text(remedy, "quantity")
    if quantity is not None and quantity not in inner(element, "quantities"):
        found = f"{shown(quantity)}, which element {shown(text(element, 'id'))} does not give"
        book.add("missing-quantity", (*path, "quantity"), found, listed(inner(element, "quantities")))


def _check_once(alternatives: list[tuple[TomlPath, Table]], what: str, book: FaultBook) -> None:
    seen: set[str | None] = set()
    for path, one in alternatives:
        if text(one, "id") in seen:
            book.add("duplicate-id", (*path, "id"), f"{what} {shown(text(one, 'id'))} a second time", "ids used once")
        seen.add(text(one, "id"))


def _check_offered_once(own: Table, book: FaultBook) -> None:
    """An element is offered an alternative of an operation, or a remedy, under one id once, and a gap one remedy."""
    seen: set[tuple[str | None, ...]] = set()
    for path, one in (*parts(own, "alternatives"), *parts(own, "remedies")):
        for _, element in texts(one, "elements"):
            keys = [("id", element, text(one, "operation"), text(one, "id"))]
            if "after" in one:
                keys.append(("before", element, text(one, "after"), text(one, "before")))
            for key in keys:
                if key in seen:
                    found = f"{shown(text(one, 'id'))} for {shown(element)} a second time"
                    book.add("duplicate-id", (*path, str(key[0])), found, "each offer to an element once")
                seen.add(key)
