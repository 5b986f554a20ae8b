"""Leaving out what a reader does not ask for: rows without any bar that meets a filter go, other bars pale. No Qt."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.board.facts import Facts, Row, Visit


@dataclass(frozen=True)
class Filter:
    """What is asked for: a gang by number, a structure and a closure by id, slots [first, last); None for all."""

    gang: int | None = None
    structure: str | None = None
    closure: str | None = None
    first: int | None = None
    last: int | None = None

    @property
    def is_on(self) -> bool:
        """Whether anything is left out."""
        return self != NO_FILTER

    @property
    def judges_visits(self) -> bool:
        """Whether single bars are judged, not only whole structures."""
        return replace(self, structure=None) != NO_FILTER

    def meets(self, visit: Visit) -> bool:
        """Say whether a bar is asked for, its structure aside."""
        return (
            (self.gang is None or visit.gang == self.gang)
            and (self.closure is None or visit.closure == self.closure)
            and (self.first is None or visit.finish > self.first)
            and (self.last is None or visit.start < self.last)
        )


NO_FILTER = Filter()


def elements_asked_for(facts: Facts, asked: Filter) -> frozenset[str]:
    """Return the ids of the elements that stay: those with a bar that meets the filter."""
    return frozenset(
        row.id
        for group in facts.rows
        if asked.structure in (None, group.id)
        for row in group.children
        if not asked.judges_visits or any(asked.meets(visit) for visit in row.visits)
    )


def only(facts: Facts, elements: frozenset[str]) -> Facts:
    """Return the facts with these elements' rows only; the same facts where that is all of them."""
    if all(row.id in elements for group in facts.rows for row in group.children):
        return facts
    groups = (_with(group, elements) for group in facts.rows)
    return replace(facts, rows=tuple(group for group in groups if group.children))


def _with(group: Row, elements: frozenset[str]) -> Row:
    return replace(group, children=tuple(row for row in group.children if row.id in elements))
