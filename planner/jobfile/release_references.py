"""Names in the releases of hold points: who releases, elements, and operations that are hold points."""

from __future__ import annotations

from planner.jobfile.faultbook import FaultBook
from planner.jobfile.known import Known
from planner.jobfile.method_needs import kept_operations
from planner.jobfile.option_references import elements_of
from planner.jobfile.suggest import listed, shown
from planner.jobfile.tables import Table, TomlPath, inner, parts, text


def check_releases(own: Table, known: Known, book: FaultBook) -> None:
    """Write down every wrong name in the job's releases, and in those of its own methods."""
    for path, method in parts(own, "methods"):
        for at, operation in parts(method, "operations", path):
            _check_who((*at, "release"), inner(operation, "release"), known, book)
    seen: set[tuple[str, str | None]] = set()
    for path, release in parts(own, "releases"):
        _check_who(path, release, known, book)
        for at, id, element, method in elements_of(path, release, known, book):
            operations = {text(one, "id") or "": one for one in kept_operations(element, method)}
            _check_operation(path, text(release, "operation"), id, operations, book)
            key = id, text(release, "operation")
            if key in seen:
                book.add("duplicate-id", at, f"{shown(id)} a second time", "one release a hold point")
            seen.add(key)


def _check_who(path: TomlPath, release: Table, known: Known, book: FaultBook) -> None:
    who = text(release, "by")
    if who is not None and known.lacks("releasers", who):
        book.unknown("unknown-releaser", (*path, "by"), who, known.releasers)


def _check_operation(
    path: TomlPath, name: str | None, element: str, operations: dict[str, Table], book: FaultBook
) -> None:
    if name is None:
        return
    held = [id for id, operation in operations.items() if operation.get("hold_point")]
    if name not in operations:
        book.unknown("unknown-operation", (*path, "operation"), name, held)
    elif name not in held:
        found = f"{shown(name)}, which is no hold point of {shown(element)}"
        book.add("no-hold-point", (*path, "operation"), found, listed(held))
