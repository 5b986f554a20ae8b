"""Where visits stood before, in an earlier plan or an issued one: what of it differs from the board. No Qt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from app.board.facts import Row, RowKind


class Placed(Protocol):
    """What ghosts need of a visit of an earlier plan."""

    @property
    def operation(self) -> str: ...
    @property
    def visit(self) -> int: ...
    @property
    def start(self) -> int: ...
    @property
    def finish(self) -> int: ...


@dataclass(frozen=True, slots=True)
class Ghost:
    """A visit that stood at slots [start, finish); now: where it starts now, None where it is no more."""

    key: str
    number: int
    start: int
    finish: int
    now: int | None = None


Ghosts = Mapping[str, tuple[Ghost, ...]]
"""Ghosts by operation."""


def make_ghosts(placements: Iterable[Placed]) -> Ghosts:
    """Return the visits of an earlier plan by operation."""
    found: dict[str, list[Ghost]] = {}
    for one in placements:
        found.setdefault(one.operation, []).append(Ghost(one.operation, one.visit, one.start, one.finish))
    return {key: tuple(visits) for key, visits in found.items()}


def ghosts_of(row: Row, ghosts: Ghosts) -> tuple[Ghost, ...]:
    """Return the visits of an element's or operation's row that stood elsewhere."""
    if row.kind is RowKind.STRUCTURE:
        return ()
    keys = [child.id for child in row.children] if row.kind is RowKind.ELEMENT else [row.id]
    standing: dict[str, list[tuple[int, int]]] = {}
    for visit in sorted(row.visits, key=lambda visit: visit.start):
        standing.setdefault(visit.key, []).append((visit.start, visit.finish))
    return tuple(one for key in keys for one in _moved(ghosts.get(key, ()), standing.get(key, [])))


def _moved(before: tuple[Ghost, ...], now: list[tuple[int, int]]) -> list[Ghost]:
    moved = []
    for place, one in enumerate(sorted(before, key=lambda ghost: ghost.start)):
        if (one.start, one.finish) not in now:
            start = now[place][0] if place < len(now) else None
            moved.append(Ghost(one.key, one.number, one.start, one.finish, start))
    return moved
