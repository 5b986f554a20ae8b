"""A row's ink, laid for a stretch of time about the view and kept until the view leaves it."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QStaticText

from app.board.display import Display
from app.board.geometry import Box
from app.board.ink import EVERYWHERE, BarInk, Edges, TailInk, bar_ink, tail_ink
from app.board.kit import Kit
from app.board.shapes import LabelShape, RowShapes, Spread, in_view, spread

_PAGE_PX = 2000.0
"""With the view beside it a stretch of pages stays well inside what Qt's rasteriser takes (±32,767)."""
_WHOLE_PX = 2 * _PAGE_PX
"""A job no wider than this is one stretch."""
_BEYOND_PX = 100.0


@dataclass(frozen=True, slots=True)
class LabelInk:
    """A label laid out, with the point of its top left corner; x0 and x1 as its shape has them."""

    x0: float
    x1: float
    at: QPointF
    text: QStaticText


@dataclass(frozen=True)
class RowInk:
    """All ink of a row in a stretch."""

    tails: TailInk
    bars: BarInk
    labels: Spread[LabelInk]


def stretch_about(display: Display, view: Box) -> Edges:
    """Return the stretch [content px] of which the ink is kept while the view is inside it."""
    if display.width <= _WHOLE_PX:
        return EVERYWHERE
    first = (view.x - _BEYOND_PX) // _PAGE_PX
    after = (view.right + _BEYOND_PX) // _PAGE_PX + 1
    return Edges(first * _PAGE_PX - _BEYOND_PX, after * _PAGE_PX + _BEYOND_PX)


def row_ink(painter: QPainter, kit: Kit, display: Display, row: RowShapes, stretch: Edges) -> RowInk:
    """Return a row's ink in a stretch, as it was laid last where that is the same."""
    kept: tuple[Edges, RowInk] | None = display.kept.get(row.box.top)
    if kept is None or kept[0] != stretch:
        seen = in_view(row, stretch.left, stretch.right)
        on_paper = kit.theme.name == "print"
        labels = spread([_label(painter, kit, label) for label in seen.labels])
        kept = (
            stretch,
            RowInk(tail_ink(seen.tails, stretch), bar_ink(seen.bars, seen.joins, on_paper=on_paper), labels),
        )
        display.kept[row.box.top] = kept
    return kept[1]


def _label(painter: QPainter, kit: Kit, label: LabelShape) -> LabelInk:
    text, _ = kit.laid(painter, kit.label, label.text)
    return LabelInk(label.x0, label.x1, QPointF(label.x0, label.y), text)
