"""Pages on a desk: pictures of A4 sheets below or beside each other, as wide as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import QGridLayout, QLabel, QScrollArea, QWidget

from app.text_size import larger

_GAP_PX = 16
_WIDEST_PX, _SIDE_BY_SIDE_PX = 1000, 740


class Paper(QScrollArea):
    """Shows pages; whoever makes them asks for the width that they should have."""

    width_changed = Signal()
    """The pages should be drawn anew, at another width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, accessibleName="Sheet as printed")
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self._desk = QWidget()
        self._grid = QGridLayout(self._desk)
        self._grid.setContentsMargins(_GAP_PX, _GAP_PX, _GAP_PX, _GAP_PX)
        self._grid.setSpacing(_GAP_PX)
        self._grid.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignHCenter)
        self.setWidget(self._desk)
        self.labels: list[QLabel] = []
        self._asked = 0
        self.viewport().installEventFilter(self)

    @property
    def page_width(self) -> int:
        """How wide a page should be, in pixels."""
        room, widest = self.viewport().width() - 2 * _GAP_PX, larger(self, _WIDEST_PX)
        if self._across == 2:
            return min(widest, (room - _GAP_PX) // 2)
        return max(300, min(widest, room))

    @property
    def _across(self) -> int:
        room = self.viewport().width() - 2 * _GAP_PX
        return 2 if room >= 2 * larger(self, _SIDE_BY_SIDE_PX) + _GAP_PX else 1

    def show_pages(self, pages: Sequence[QImage]) -> None:
        """Show these pages in place of those before."""
        for label in self.labels:
            self._grid.removeWidget(label)
            label.deleteLater()
        self.labels = [_page(image, number, len(pages)) for number, image in enumerate(pages, start=1)]
        across = self._across
        for number, label in enumerate(self.labels):
            self._grid.addWidget(label, number // across, number % across)

    def go_to_top(self) -> None:
        """Show the first page's head."""
        self.verticalScrollBar().setValue(0)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.viewport() and event.type() is QEvent.Type.Resize and self.page_width != self._asked:
            self._asked = self.page_width
            self.width_changed.emit()
        return super().eventFilter(watched, event)


def _page(image: QImage, number: int, count: int) -> QLabel:
    label = QLabel(objectName="paper")
    label.setPixmap(QPixmap.fromImage(image))
    label.setAccessibleName(f"Page {number} of {count}")
    label.setFixedSize(image.deviceIndependentSize().toSize())
    return label
