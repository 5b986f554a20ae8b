"""Draws a closure on its lane's ribbon: its state by outline and mark, set-out and clearing darker."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.board.display import Display
from app.board.facts import ClosureStrip
from app.board.geometry import Box
from app.board.kit import Kit, color, pen

_OUTLINES = {"agreed": Qt.PenStyle.SolidLine, "requested": Qt.PenStyle.DashLine}
"""Any other state is dotted."""


def block_in(display: Display, box: Box, x: float, start: float, finish: float) -> QRectF | None:
    """Return where slots start..finish lie in a ribbon, cut to the view; None outside it."""
    left = max(box.x + display.scale.x(start) - x, box.x - 20)
    right = min(box.x + display.scale.x(finish) - x, box.right + 20)
    return QRectF(left, box.y, right - left, box.height) if right > left else None


def draw_closure(painter: QPainter, kit: Kit, display: Display, box: Box, x: float, closure: ClosureStrip) -> None:
    """Draw a closure: the ends in which cones are placed and lifted darker, its state in a word or by a mark."""
    block = block_in(display, box, x, closure.start, closure.finish)
    if block is None:
        return
    inner = block.adjusted(0, 1, 0, -1.5)
    ends = [end for span in _ends(closure) if (end := block_in(display, box, x, *span))]
    draw_closure_box(painter, kit, inner, closure.state, ends)
    refused = closure.state == "refused"
    word = closure.state if closure.used or refused else f"{closure.state}, not used"
    if not _word(painter, kit, box, inner, (word, closure.state), refused):
        draw_closure_mark(painter, kit, inner, closure.state)


def draw_closure_box(painter: QPainter, kit: Kit, inner: QRectF, state: str, ends: Sequence[QRectF] = ()) -> None:
    """Draw the box: filled unless refused, its outline whole where agreed and dashed where requested."""
    refused = state == "refused"
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    if not refused:
        painter.fillRect(inner, color(kit.theme.closure))
        for end in ends:
            painter.fillRect(QRectF(end.x(), inner.y(), end.width(), inner.height()), color(kit.theme.closure_ends))
    ink = kit.theme.soft if refused else kit.theme.closure_ink
    painter.setPen(pen(ink, 1.0, _OUTLINES.get(state, Qt.PenStyle.DotLine)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(inner)


def _ends(closure: ClosureStrip) -> tuple[tuple[int, int], ...]:
    if closure.work is None:
        return ((closure.start, closure.finish),)
    return ((closure.start, closure.work[0]), (closure.work[1], closure.finish))


def draw_closure_mark(painter: QPainter, kit: Kit, inner: QRectF, state: str) -> None:
    """Draw the state of a closure that has no room for a word: a full dot, a ring, or a cross where it is refused."""
    radius = min(3.0, inner.height() / 3)
    if inner.width() < 2 * radius + 4:
        return
    at = inner.center()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen(kit.theme.soft if state == "refused" else kit.theme.closure_ink, 1.3))
    if state == "refused":
        for turn in (1.0, -1.0):
            painter.drawLine(QLineF(at.x() - radius, at.y() - turn * radius, at.x() + radius, at.y() + turn * radius))
        return
    painter.setBrush(color(kit.theme.closure_ink) if state == "agreed" else Qt.BrushStyle.NoBrush)
    painter.drawEllipse(at, radius, radius)


def _word(painter: QPainter, kit: Kit, box: Box, inner: QRectF, words: tuple[str, ...], refused: bool) -> bool:
    """Write the first of `words` for which there is room; say whether there was."""
    if box.height < 13:
        return False
    left = max(inner.left(), box.x)
    room = min(inner.right(), box.right) - left - 6
    text = next((word for word in words if kit.width(kit.small, word) <= room), "")
    if text:
        start = left + 3 + (room - kit.width(kit.small, text)) / 2
        ink = kit.theme.soft if refused else kit.theme.closure_ink
        kit.write(painter, kit.small, ink, start, inner.center().y(), text)
    return bool(text)
