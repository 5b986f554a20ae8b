"""Marks the operations before which a gap is least sure: a ringed question mark over the start of the bar."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.board.display import Display
from app.board.facts import RowKind
from app.board.kit import Kit, color, pen
from app.board.rows import RowBox
from app.board.shapes import BarShape

_RADIUS_PX = 7.0
_REACH_PX = 30_000.0


def draw_doubts(
    painter: QPainter, kit: Kit, display: Display, boxes: Sequence[RowBox], keys: Collection[str]
) -> None:
    """Mark the first bar of each operation in `keys` that is in view."""
    elements = {key.split("/")[0] for key in keys}
    for box in boxes:
        if box.row.kind is not RowKind.STRUCTURE and box.row.id.split("/")[0] in elements:
            marked: set[str] = set()
            for bar in display.row(box.top).bars.shapes:
                if bar.visit.key in keys and bar.visit.key not in marked and abs(bar.x0) < _REACH_PX:
                    marked.add(bar.visit.key)
                    _mark(painter, kit, bar)


def _mark(painter: QPainter, kit: Kit, bar: BarShape) -> None:
    middle = QPointF(bar.x0, bar.y - 1)
    painter.setPen(pen(kit.theme.breach, 1.6))
    painter.setBrush(color(kit.theme.ground))
    painter.drawEllipse(middle, _RADIUS_PX, _RADIUS_PX)
    painter.setFont(kit.label_bold)
    painter.setPen(color(kit.theme.breach))
    box = QRectF(middle.x() - _RADIUS_PX, middle.y() - _RADIUS_PX, 2 * _RADIUS_PX, 2 * _RADIUS_PX)
    painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), "?")
    painter.setBrush(Qt.BrushStyle.NoBrush)
