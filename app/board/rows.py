"""Which rows stand under each other, how tall they are, and what is folded."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from app.board.facts import Facts, Row, RowKind


class Density(StrEnum):
    """How tall rows are."""

    TALL = "tall"
    COMPACT = "compact"
    SLIM = "slim"


@dataclass(frozen=True, slots=True)
class RowStyle:
    """Heights in pixels from the top of a row; a label line is left out where its y is None."""

    height: float
    bar_top: float
    bar_height: float
    spare_y: float
    above_y: float | None
    below_y: float | None


ELEMENT_STYLES = {
    Density.TALL: RowStyle(60, 18, 19, 41, 3, 45),
    Density.COMPACT: RowStyle(33, 15, 13, 30.5, 1, None),
    Density.SLIM: RowStyle(17, 3, 9, 14.5, None, None),
}
OPERATION_STYLES = {
    Density.TALL: RowStyle(26, 5, 14, 22, None, None),
    Density.COMPACT: RowStyle(22, 4, 12, 19, None, None),
    Density.SLIM: RowStyle(16, 3, 8, 13.5, None, None),
}
STRUCTURE_HEIGHTS = {Density.TALL: 28.0, Density.COMPACT: 22.0, Density.SLIM: 18.0}
EXPOSURE_HEIGHT = 15.0
"""What a row with an exposed stretch is taller by."""
MANY_ELEMENTS, FEW_ELEMENTS = 24, 6
"""From so many on rows are compact unless the user says otherwise; the second in a window of little height."""


@dataclass(frozen=True)
class Folding:
    """Structures whose elements are hidden, and elements whose operations are shown."""

    folded: frozenset[str] = field(default_factory=frozenset)
    expanded: frozenset[str] = field(default_factory=frozenset)

    def turned(self, row: Row) -> Folding:
        """Return the folding with one structure or element turned over."""
        if row.kind is RowKind.STRUCTURE:
            return Folding(self.folded ^ {row.id}, self.expanded)
        if row.kind is RowKind.ELEMENT:
            return Folding(self.folded, self.expanded ^ {row.id})
        return self


@dataclass(frozen=True, slots=True)
class RowBox:
    """A row at its place: content y of its top, its height and its style."""

    row: Row
    top: float
    height: float
    style: RowStyle
    open: bool

    @property
    def shift(self) -> float:
        """Pixels by which an exposed stretch pushes the bars down."""
        return EXPOSURE_HEIGHT if self.row.exposures and self.row.kind is RowKind.ELEMENT else 0.0


@dataclass(frozen=True)
class RowPlan:
    """All rows that are not folded away, from the top."""

    boxes: tuple[RowBox, ...]
    height: float

    @cached_property
    def tops(self) -> tuple[float, ...]:
        """Content y of the top of each row."""
        return tuple(box.top for box in self.boxes)

    def between(self, top: float, bottom: float) -> tuple[RowBox, ...]:
        """Return the rows that touch content y top..bottom."""
        first = max(0, bisect_right(self.tops, top) - 1)
        found = [box for box in self.boxes[first : bisect_right(self.tops, bottom)] if box.top + box.height > top]
        return tuple(found)

    def at(self, y: float) -> RowBox | None:
        """Return the row at content y, or None below the last."""
        found = self.between(y, y)
        return found[0] if found else None

    def of(self, id: str, kind: RowKind) -> RowBox | None:
        """Return the place of a row, or None where it is folded away."""
        return next((box for box in self.boxes if box.row.id == id and box.row.kind is kind), None)


def usual_density(facts: Facts, low: bool = False) -> Density:
    """Return the density that suits the number of elements; low: in a window of little height."""
    count = sum(len(group.children) for group in facts.rows)
    many = FEW_ELEMENTS if low else MANY_ELEMENTS
    return Density.TALL if count < many else Density.COMPACT


def plan_rows(facts: Facts, folding: Folding, density: Density) -> RowPlan:
    """Return the rows of the board at their places."""
    boxes: list[RowBox] = []
    top = 0.0
    for row, is_open in _shown(facts, folding):
        style = _style(row, density)
        extra = EXPOSURE_HEIGHT if row.exposures and row.kind is RowKind.ELEMENT else 0.0
        boxes.append(RowBox(row, top, style.height + extra, style, is_open))
        top += style.height + extra
    return RowPlan(tuple(boxes), top)


def _shown(facts: Facts, folding: Folding) -> list[tuple[Row, bool]]:
    shown: list[tuple[Row, bool]] = []
    for group in facts.rows:
        is_open = group.id not in folding.folded
        shown.append((group, is_open))
        for row in group.children if is_open else ():
            expanded = row.id in folding.expanded
            shown.append((row, expanded))
            shown += [(operation, False) for operation in row.children if expanded]
    return shown


def _style(row: Row, density: Density) -> RowStyle:
    if row.kind is RowKind.STRUCTURE:
        height = STRUCTURE_HEIGHTS[density]
        return RowStyle(height, height / 2 - 4, 8, height - 3, None, None)
    return (ELEMENT_STYLES if row.kind is RowKind.ELEMENT else OPERATION_STYLES)[density]
