"""A row of buttons and fields that goes on in the next line where the window is narrow or the text large."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLabel, QLayout, QLayoutItem, QWidget

_SPACING_PX = 8


class Flow(QLayout):
    """Lays its items out in reading order, each as large as it likes; lines break where there is no more room."""

    def __init__(self, parent: QWidget | None = None, spacing: int = _SPACING_PX) -> None:
        self._heights: dict[int, int] = {}
        super().__init__(parent)
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(spacing)
        self._items: list[QLayoutItem] = []

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        # Layouts round this one ask dozens of times for one laying out.
        if width not in self._heights:
            self._heights[width] = self._arranged(QRect(0, 0, width, 0), False)
        return self._heights[width]

    def invalidate(self) -> None:
        super().invalidate()
        self._heights.clear()

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._arranged(rect, True)

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = sum(item.sizeHint().width() for item in shown) + self.spacing() * max(0, len(shown) - 1)
        return QSize(wide, max((item.sizeHint().height() for item in shown), default=0))

    def minimumSize(self) -> QSize:
        sizes = [item.minimumSize() for item in self._shown()]
        return QSize(max((one.width() for one in sizes), default=0), max((one.height() for one in sizes), default=0))

    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def _together(self) -> list[list[QLayoutItem]]:
        """Return what no line break may part: a label and the field that it names."""
        groups: list[list[QLayoutItem]] = []
        for item in self._shown():
            before = groups[-1][-1].widget() if groups else None
            if isinstance(before, QLabel) and before.buddy() is not None and before.buddy() is item.widget():
                groups[-1].append(item)
            else:
                groups.append([item])
        return groups

    def _arranged(self, rect: QRect, move: bool) -> int:
        """Arrange the items in `rect`, or only try; return the height that it takes."""
        x, y = rect.x(), rect.y()
        line: list[tuple[QLayoutItem, int, QSize]] = []
        for group in self._together():
            sizes = [_size(item, rect.width()) for item in group]
            wide = sum(size.width() for size in sizes) + self.spacing() * (len(sizes) - 1)
            if line and x + wide > rect.x() + rect.width():
                y += self._place(line, y, move) + self.spacing()
                x, line = rect.x(), []
            for item, size in zip(group, sizes, strict=True):
                line.append((item, x, size))
                x += size.width() + self.spacing()
        return y + self._place(line, y, move) - rect.y()

    @staticmethod
    def _place(line: list[tuple[QLayoutItem, int, QSize]], y: int, move: bool) -> int:
        """Put one line at its place, items in its middle; return its height."""
        tall = max((size.height() for _item, _x, size in line), default=0)
        for item, x, size in line if move else ():
            item.setGeometry(QRect(QPoint(x, y + (tall - size.height()) // 2), size))
        return tall


def _size(item: QLayoutItem, room: int) -> QSize:
    """Return how large an item is to be: as it likes, but not wider than the room unless it must."""
    return item.sizeHint().boundedTo(QSize(max(room, item.minimumSize().width()), 10_000))
