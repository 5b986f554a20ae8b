"""Cells whose words go on in the next line: as high as they then are, with some room over and under them."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

CELL_EDGE_PX = 4
"""What the style sheet adds at the left and the right of every cell of a table [px]."""
_INSIDE_PX, _ROOM_PX = 3, 4
"""What the style leaves beside the words itself; room over and under them [px]."""


class WrappedCells(QStyledItemDelegate):
    """Measures words in the room that the edges leave; Qt breaks their lines as if there were no edges."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        hint = super().sizeHint(option, index)
        words, room = index.data(Qt.ItemDataRole.DisplayRole), option.rect.width()
        if not words or room <= 0:
            return hint
        self.initStyleOption(option, index)
        inside = max(1, room - 2 * (CELL_EDGE_PX + _INSIDE_PX) - 1)
        tall = option.fontMetrics.boundingRect(QRect(0, 0, inside, 100_000), Qt.TextFlag.TextWordWrap, str(words))
        return QSize(hint.width(), tall.height() + 2 * _ROOM_PX)
