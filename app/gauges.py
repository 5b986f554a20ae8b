"""Gauges of the gaps that touch an operation: the board's own thread, band and post, with the planned start on it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.board.clock import moment
from app.board.facts import Facts, Tail
from app.board.glyphs import draw_saw, draw_tails
from app.board.ink import tail_ink
from app.board.kit import Kit, color
from app.board.shapes import TailShape
from app.board.words import operation_name, spare_words

_LINE_PX, _EDGE_PX = 52, 14.0


class Gauges(QWidget):
    """One gauge a gap: who it follows, where the next layer stands in it, and the spare time in words."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self._facts: Facts | None = None
        self.tails: tuple[Tail, ...] = ()
        self.setAccessibleName("Gaps")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Maximum)

    def show_gaps(self, facts: Facts, tails: tuple[Tail, ...]) -> None:
        """Show these gaps; at most four, the ones into the operation first."""
        self._facts, self.tails = facts, tails[:4]
        self.setAccessibleDescription("; ".join(spare_words(tail) for tail in self.tails))
        self.setVisible(bool(self.tails))
        self.updateGeometry()
        self.update()

    def set_kit(self, kit: Kit) -> None:
        """Draw with another theme."""
        self.kit = kit
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(240, round(_LINE_PX * len(self.tails) * self.kit.scale))

    def minimumSizeHint(self) -> QSize:
        return QSize(240, round(_LINE_PX * min(1, len(self.tails)) * self.kit.scale))

    @property
    def drawn(self) -> tuple[Tail, ...]:
        """The gaps that there is room for; all of them stand in the words under the gauges."""
        return self.tails[: int(self.height() / (_LINE_PX * self.kit.scale) + 0.01)]

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._facts is None:
            return
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.scale(self.kit.scale, self.kit.scale)
            for number, tail in enumerate(self.drawn):
                self._gauge(painter, self._facts, tail, number * _LINE_PX)

    def _gauge(self, painter: QPainter, facts: Facts, tail: Tail, top: float) -> None:
        kit, edge = self.kit, _EDGE_PX / self.kit.scale
        width = self.width() / kit.scale - 2 * edge
        ends = [slot for slot in (tail.opens, tail.shuts, tail.planned) if slot is not None]
        first = min(tail.anchor, *ends)
        px = width / max(1, max(ends) - first)
        y = top + 28.0

        def at(slot: int | None) -> float | None:
            return None if slot is None else edge + (slot - first) * px

        planned, anchor = at(tail.planned) or edge, at(tail.anchor) or edge
        title = f"{operation_name(facts, tail.after)} → {operation_name(facts, tail.before)}"
        kit.write(painter, kit.small, kit.theme.ink, edge, top + 11, kit.elided(kit.small, title, width))
        shape = TailShape(edge, edge + width, y, 9, y, anchor, at(tail.opens), at(tail.shuts), planned, tail)
        whole = TailShape(shape.x0, shape.x1, y, 9, y, shape.anchor, shape.opens, shape.shuts, shape.x1 + 1, tail)
        draw_tails(painter, kit, [tail_ink([whole])])
        draw_saw(painter, kit, shape)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(color(kit.theme.ink))
        painter.drawPolygon(
            QPolygonF([QPointF(planned - 4, y - 11), QPointF(planned + 4, y - 11), QPointF(planned, y - 4)])
        )
        painter.fillRect(QRectF(planned - 0.8, y - 6, 1.6, 12), color(kit.theme.ink))
        words = spare_words(tail)
        kit.write(painter, kit.small, kit.theme.soft, edge, top + 43, kit.elided(kit.small, words, width))
        self.setToolTip(f"Planned {moment(facts.time, tail.planned)}")
