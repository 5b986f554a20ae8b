"""A line of text that is cut with an ellipsis where there is no room, and whole in its tooltip."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QStyleOption, QWidget

from app.hover import plain_tip


class ElidedLabel(QLabel):
    """A label that never asks for more width than there is."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__("", parent, objectName=name)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def setText(self, text: str) -> None:
        super().setText(text)
        self.setToolTip(plain_tip(text))

    def minimumSizeHint(self) -> QSize:
        return QSize(40, super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            option = QStyleOption()
            option.initFrom(self)
            text = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.width())
            flags = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
            role = self.foregroundRole()
            self.style().drawItemText(painter, self.rect(), flags, option.palette, self.isEnabled(), text, role)
