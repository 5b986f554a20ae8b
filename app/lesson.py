"""A picture that teaches how to read a row, drawn with the board's own marks."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.board.facts import GangMark, Tail, Visit
from app.board.glyphs import draw_bars, draw_tails
from app.board.ink import bar_ink, tail_ink
from app.board.kit import Kit, color, pen
from app.board.shapes import BarShape, TailShape

_HEIGHT = 132
_FIRST, _OPENS, _NEXT, _SHUTS = 24.0, 250.0, 395.0, 600.0
_BAR_PX, _ROW_Y = 92.0, 62.0
_CAPTIONS = (
    (_FIRST + _BAR_PX + 12, "dotted: too early yet"),
    (_OPENS + 2, "full: the next may go on"),
    (_SHUTS - 74, "post: shut, too late"),
)


class Lesson(QWidget):
    """One layer, its gap, and the next layer inside it."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("How to read a row")
        self.setAccessibleDescription(
            "After each bar hangs its gap: a dotted thread while the next layer would be too early, a full band "
            "while it may go on, narrowing as it closes, and a post where it must have gone on. "
            "The next bar stands in the band."
        )

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme."""
        self.kit = kit
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(round(640 * self.kit.scale), round(_HEIGHT * self.kit.scale))

    def paintEvent(self, event: QPaintEvent) -> None:
        kit = self.kit
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.scale(kit.scale, kit.scale)
            wide = self.width() / kit.scale
            painter.fillRect(QRectF(0, 0, wide, _HEIGHT - 8), color(kit.theme.ground))
            painter.setPen(pen(kit.theme.rule))
            painter.drawLine(QLineF(0, _ROW_Y + 26, wide, _ROW_Y + 26))
            tail = Tail("", "", "", None, 0, 1, 3, 2)
            shape = TailShape(_FIRST, _SHUTS, _ROW_Y, 9, _ROW_Y, _FIRST + _BAR_PX, _OPENS, _SHUTS, _SHUTS, tail)
            draw_tails(painter, kit, [tail_ink([shape])])
            gangs = (GangMark("", "", "M", 0), GangMark("", "", "C", 1))
            y = _ROW_Y - 10
            first = BarShape(_FIRST, _FIRST + _BAR_PX, y, 20, Visit("", "", 0, 0, 1))
            following = BarShape(_NEXT, _NEXT + _BAR_PX, y, 20, Visit("", "", 1, 0, 1))
            draw_bars(painter, kit, [bar_ink([first, following])], gangs)
            for x, words in ((_FIRST, "First lift"), (_NEXT, "Second lift")):
                kit.write(painter, kit.title, kit.theme.ink, x, _ROW_Y - 24, words)
            for x, words in _CAPTIONS:
                kit.write(painter, kit.small, kit.theme.soft, x, _ROW_Y + 40, words)
