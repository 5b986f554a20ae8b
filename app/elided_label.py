"""A line of text that is cut with an ellipsis where there is no room, and whole in its tooltip."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QStatusBar, QStyleOption, QWidget

from app.hover import plain_tip

_STANDING_SHARE = 0.6


class ElidedLabel(QLabel):
    """A label that never asks for more width than there is; it has as many lines as it is told."""

    reworded = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__("", parent, objectName=name)
        self._share, self._lines = 1.0, 1
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def setText(self, text: str) -> None:
        super().setText(text)
        self.setToolTip(plain_tip(text))
        self.reworded.emit()

    def set_lines(self, count: int) -> None:
        """Stand in one line, or be broken into so many."""
        if count != self._lines:
            self._lines = count
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        one = super().sizeHint()
        return QSize(one.width(), one.height() + (self._lines - 1) * self.fontMetrics().lineSpacing())

    def minimumSizeHint(self) -> QSize:
        return QSize(40, self.sizeHint().height())

    def take_at_most(self, share: float, of: QWidget) -> None:
        """Ask for the width of the words, but for no more than a share of the width of a widget round it."""
        self._share = share
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        of.installEventFilter(self)
        self.setMaximumWidth(round(share * of.width()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QResizeEvent):
            self.setMaximumWidth(round(self._share * event.size().width()))
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            option = QStyleOption()
            option.initFrom(self)
            room = self.contentsRect()
            cut = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room.width())
            text = cut if self._lines == 1 else self.text()
            broken = Qt.TextFlag.TextWordWrap if self._lines > 1 else Qt.TextFlag(0)
            flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter) | int(broken)
            role = self.foregroundRole()
            self.style().drawItemText(painter, room, flags, option.palette, self.isEnabled(), text, role)


def standing_label(bar: QStatusBar) -> ElidedLabel:
    """Return a label that always stands at the end of a status bar, and leaves room for what is told beside it."""
    label = ElidedLabel("standing")
    label.setContentsMargins(0, 0, 12, 0)
    label.take_at_most(_STANDING_SHARE, bar)
    bar.addPermanentWidget(label)
    bar.setSizeGripEnabled(False)
    return label
