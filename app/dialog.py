"""What all dialogs share: one edge, one distance between lines, and room for every word that they come to say."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QDialog, QFormLayout, QVBoxLayout

from app.text_size import larger

_EDGES_PX = (16, 14, 16, 14)
_LINES_APART_PX = 10
_FIELDS_APART_PX = (12, 8)


class Dialog(QDialog):
    """Is never lower than its words ask for at its width, also when they change while it is shown.

    Left alone, Qt asks for the height of wrapped words once, at a width of its own, and lets them cover each other.
    """

    def lines(self) -> QVBoxLayout:
        """Return the dialog's layout, from top to bottom."""
        layout = QVBoxLayout(self)
        layout.setContentsMargins(*_EDGES_PX)
        layout.setSpacing(_LINES_APART_PX)
        return layout

    def open_at(self, width_px: int, height_px: int) -> None:
        """Begin with this size, given for normal text; the words may ask for more."""
        self.resize(larger(self, width_px), larger(self, height_px))

    def event(self, event: QEvent) -> bool:
        done = super().event(event)
        if event.type() is QEvent.Type.LayoutRequest:
            self._fit()
        return done

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        layout = self.layout()
        if layout is not None and self.isVisible() and layout.hasHeightForWidth():
            width = max(self.width(), layout.totalMinimumSize().width())
            self.setMinimumHeight(min(layout.totalHeightForWidth(width), self.screen().availableGeometry().height()))


def field_form() -> QFormLayout:
    """Return a form of named fields under each other."""
    form = QFormLayout()
    form.setHorizontalSpacing(_FIELDS_APART_PX[0])
    form.setVerticalSpacing(_FIELDS_APART_PX[1])
    return form
