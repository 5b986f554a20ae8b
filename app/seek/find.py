"""Finding operations by text: element, operation, product, gang, structure, closure. No Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.session import Session


@dataclass(frozen=True)
class Entry:
    """An operation, and every word that it can be found by, in small letters."""

    key: str
    words: str


def index(session: Session) -> tuple[Entry, ...]:
    """Return the planned operations in the order of the board: row by row, each in order of time."""
    job = session.loaded.job
    products = {product.id: product.name for product in job.products}
    closures = {closure.id: closure.name for closure in job.closures}
    operations = {operation.key: operation for operation in session.work.operations}
    entries = []
    for group in session.facts.rows:
        for row in group.children:
            for key in dict.fromkeys(visit.key for visit in sorted(row.visits, key=lambda one: one.start)):
                visits = [visit for visit in row.visits if visit.key == key]
                operation = operations.get(key)
                product = products.get((operation.product if operation else None) or "", "")
                gangs = [session.facts.gangs[visit.gang].name for visit in visits]
                shut = [closures.get(visit.closure or "", "") for visit in visits]
                words = (key, row.title, visits[0].name, group.title, product, *gangs, *shut)
                entries.append(Entry(key, "\n".join(dict.fromkeys(words)).casefold()))
    return tuple(entries)


def matches(entries: Sequence[Entry], asked: str) -> tuple[str, ...]:
    """Return the keys of the operations in which `asked` occurs as it is, or, where none has it, all its words.

    None where nothing is asked.
    """
    words = asked.casefold().split()
    whole = tuple(entry.key for entry in entries if words and " ".join(words) in entry.words)
    return whole or tuple(entry.key for entry in entries if words and all(word in entry.words for word in words))


def beside(found: Sequence[str], here: str | None, order: Sequence[str], forward: bool) -> str | None:
    """Return the next match after the operation `here` in the board's order, or the one before; round the end."""
    if not found:
        return None
    places = {key: number for number, key in enumerate(order)}
    at = places.get(here or "", -1 if forward else len(order))
    if forward:
        return next((key for key in found if places[key] > at), found[0])
    return next((key for key in reversed(found) if places[key] < at), found[-1])
