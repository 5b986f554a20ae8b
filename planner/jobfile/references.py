"""Cross-references of a job: every name must be that of something in the file or the library.

All checks read the plain tables, so a fault in the shape of one part hides no wrong name in another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.calendars.shifts import check_rule
from planner.jobfile.element_references import check_elements, check_links
from planner.jobfile.faultbook import FaultBook
from planner.jobfile.gate_references import check_strengths
from planner.jobfile.issue_references import check_issues
from planner.jobfile.known import known_in
from planner.jobfile.method_references import method_faults
from planner.jobfile.option_references import check_options
from planner.jobfile.pin_references import check_pins
from planner.jobfile.record_references import check_record
from planner.jobfile.release_references import check_releases
from planner.jobfile.suggest import shown
from planner.jobfile.tables import Table, TomlPath, parts, text, texts

_LISTS = ("gangs", "plant", "lanes", "closures", "products", "methods", "structures", "elements", "releasers")


@dataclass(frozen=True)
class _Named:
    path: TomlPath
    id: str


def check_references(table: Table, own: Table, book: FaultBook) -> None:
    """Write down every wrong name in `table` (the job with the library); `own` is the job without it."""
    known = known_in(table)
    _check_duplicates(own, book)
    _check_not_empty(own, book)
    for path, closure in parts(own, "closures"):
        for at, lane in texts(closure, "lanes", path):
            if known.lacks("lanes", lane):
                book.unknown("unknown-lane", at, lane, known.lanes)
    for path, method in parts(own, "methods"):
        for fault in method_faults(method, known):
            if not book.has((*path, *fault.path)):
                book.add(fault.code, (*path, *fault.path), fault.found, fault.allowed, fault.hint)
    _check_rules(own, book)
    check_strengths(own, known, book)
    check_elements(own, known, book)
    check_links(own, known, book)
    check_options(own, known, book)
    check_pins(own, known, book)
    check_releases(own, known, book)
    check_record(own, known, book)
    check_issues(own, book)


def _check_duplicates(own: Table, book: FaultBook) -> None:
    lists = [list(_named(own, key)) for key in _LISTS]
    lists += [list(_named(method, "operations", path)) for path, method in parts(own, "methods")]
    for named in lists:
        first: dict[str, _Named] = {}
        for part in named:
            if part.id in first:
                line = book.lines.line((*first[part.id].path, "id"))
                book.add(
                    "duplicate-id", part.path, f"'{part.id}' a second time", f"ids used once (first on line {line})"
                )
            first.setdefault(part.id, part)


def _named(table: Table, key: str, at: TomlPath = ()) -> Iterator[_Named]:
    for path, part in parts(table, key, at):
        name = text(part, "id")
        if name is not None:
            yield _Named((*path, "id"), name)


def _check_rules(own: Table, book: FaultBook) -> None:
    lists = [(path, gang, "shifts") for path, gang in parts(own, "gangs")]
    lists += [(path, releaser, "attends") for path, releaser in parts(own, "releasers")]
    for path, owner, key in lists:
        for at, shift in parts(owner, key, path):
            rule = text(shift, "rule")
            words = check_rule(rule) if rule is not None else None
            if words is not None and not book.has((*at, "rule")):
                reason, _, near = words.partition("; did you mean ")
                hint = f"Did you mean {near}" if near else ""
                book.add("bad-rule", (*at, "rule"), shown(rule), f"an RFC 5545 rule of days, but {reason}", hint)


def _check_not_empty(own: Table, book: FaultBook) -> None:
    for key in ("gangs", "structures", "elements"):
        if own.get(key) == []:
            book.add("nothing-listed", (key,), "an empty list", f"at least one of [[{key}]]")
