"""The board's display list at one scale: rows are laid out when first seen, then only culled."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from app.board.facts import Facts
from app.board.geometry import Box, Scale
from app.board.lay import lay_row
from app.board.rows import Density, Folding, RowBox, RowPlan, plan_rows
from app.board.shapes import Measure, RowShapes, RowView, in_view
from app.board.ticks import Tick, ticks

T = TypeVar("T")
TRACE = "trace"
"""What a painter keeps of the ribbons' lines goes by this and a name."""


class Display:
    """Rows of `facts` at a scale, folding and density; keeps what it has laid out.

    before: the display that this one takes the place of; rows that are the same, at the same place and scale, are
    taken over as they were laid out.
    """

    def __init__(
        self,
        facts: Facts,
        scale: Scale,
        folding: Folding,
        density: Density,
        measure: Measure,
        before: Display | None = None,
    ) -> None:
        self.facts = facts
        self.scale = scale
        self.folding = folding
        self.density = density
        self.rows: RowPlan = plan_rows(facts, folding, density)
        self._measure = measure
        self.kept: dict[Hashable, Any] = {}
        """What a painter keeps: of rows by the content y of their top, of ribbons by name; gone when that changes."""
        self._laid: dict[int, RowShapes] = {}
        self._ticks: tuple[tuple[int, int], tuple[Tick, ...]] = ((0, 0), ())
        if before is not None and before.scale == scale and before._measure == measure:
            self._take_over(before)

    def shows(self, facts: Facts, scale: Scale, folding: Folding, density: Density, measure: Measure) -> bool:
        """Say whether this is the display of just that, so that another need not be made."""
        return (
            self.facts is facts
            and self.folding is folding
            and (self.scale, self.density, self._measure) == (scale, density, measure)
        )

    def _take_over(self, before: Display) -> None:
        """Keep the ticks, and the shapes, and what the painter kept, of rows that have not changed."""
        if before.facts.time == self.facts.time:
            self._ticks = before._ticks
        if before.facts.weather is self.facts.weather:
            lines = (key for key in before.kept if isinstance(key, tuple) and key[0] == TRACE)
            self.kept |= {key: before.kept[key] for key in lines}
        for box in self.rows.boxes:
            key = round(box.top * 4)
            laid = before._laid.get(key)
            if laid is not None and _is_same(laid.box, box):
                self._laid[key] = laid
                if box.top in before.kept:
                    self.kept[box.top] = before.kept[box.top]

    @property
    def width(self) -> float:
        """Pixels from slot 0 to the end of the job."""
        return self.scale.x(self.facts.horizon)

    def visible(self, view: Box) -> tuple[RowView, ...]:
        """Return what of each row lies in `view` (content pixels)."""
        boxes = self.rows.between(view.y, view.bottom)
        return tuple(in_view(self.row(box.top), view.x, view.right) for box in boxes)

    def row(self, top: float) -> RowShapes:
        """Return the shapes of the row whose top is at content y `top`."""
        key = round(top * 4)
        if key not in self._laid:
            box = self.rows.at(top)
            if box is None:
                raise ValueError(f"there is no row at {top}")
            self._laid[key] = lay_row(box, self.scale, self.facts.time, self._measure)
        return self._laid[key]

    def ticks(self, first: int, last: int) -> tuple[Tick, ...]:
        """Return the ticks of the axis over slots first..last; the last answer is kept."""
        if self._ticks[0] != (first, last):
            self._ticks = ((first, last), ticks(self.facts.time, self.scale.px, first, last))
        return self._ticks[1]

    def everything(self) -> tuple[RowShapes, ...]:
        """Return all rows, laid out in full."""
        return tuple(self.row(box.top) for box in self.rows.boxes)


def kept_of(display: Display, name: str, source: object, asked: Hashable, make: Callable[[], T]) -> T:
    """Return what a painter keeps of the weather by a name; made anew for another source, or where else is asked."""
    key = (TRACE, name)
    kept: tuple[object, Hashable, T] | None = display.kept.get(key)
    if kept is None or kept[0] is not source or kept[1] != asked:
        kept = (source, asked, make())
        display.kept[key] = kept
    return kept[2]


def _is_same(one: RowBox, other: RowBox) -> bool:
    """Say whether two rows are the same row at the same place; equal rows that were made anew count as others."""
    return (
        one.row is other.row
        and (one.top, one.height, one.open) == (other.top, other.height, other.open)
        and one.style == other.style
    )
