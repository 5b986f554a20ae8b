"""Pictures that appear larger than they are drawn: painters are scaled up, points of the pointer scaled down."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QSizeF
from PySide6.QtGui import QContextMenuEvent, QHelpEvent, QMouseEvent, QPainter, QWheelEvent
from PySide6.QtWidgets import QAbstractScrollArea, QWidget


class EnlargedArea(QAbstractScrollArea):
    """A scroll area that lays out and paints in `room`, and hears of the pointer in the same pixels."""

    def __init__(self, scale: float, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.enlarged = scale

    @property
    def room(self) -> QSizeF:
        """The viewport's size in the pixels that are drawn in."""
        size = self.viewport().size()
        return QSizeF(size.width() / self.enlarged, size.height() / self.enlarged)

    def begin_paint(self) -> QPainter:
        """Return a painter on the viewport; end it with `with`."""
        painter = QPainter(self.viewport())
        painter.scale(self.enlarged, self.enlarged)
        return painter

    def heard(self, event: QEvent) -> bool:
        """Answer an event of the viewport, or leave it to Qt."""
        return False

    def viewportEvent(self, event: QEvent) -> bool:
        told = event if self.enlarged == 1 else shrunk(event, self.enlarged)
        done = self.heard(told) or super().viewportEvent(told)
        if told is not event:
            event.setAccepted(told.isAccepted())
        return done


def shrunk(event: QEvent, by: float) -> QEvent:
    """Return an event of the pointer with its place divided by `by`; any other event as it is."""
    match event:
        case QMouseEvent():
            return QMouseEvent(
                event.type(),
                event.position() / by,
                event.globalPosition(),
                event.button(),
                event.buttons(),
                event.modifiers(),
            )
        case QWheelEvent():
            return QWheelEvent(
                event.position() / by,
                event.globalPosition(),
                event.pixelDelta(),
                event.angleDelta(),
                event.buttons(),
                event.modifiers(),
                event.phase(),
                event.inverted(),
            )
        case QHelpEvent():
            return QHelpEvent(event.type(), (QPointF(event.pos()) / by).toPoint(), event.globalPos())
        case QContextMenuEvent():
            at = (QPointF(event.pos()) / by).toPoint()
            return QContextMenuEvent(event.reason(), at, event.globalPos(), event.modifiers())
    return event
