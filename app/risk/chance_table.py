"""The table of chances: each a number, a word and a bar with its sampling error."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import (
    QHeaderView,
    QStyle,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.layouts import show_as_rows
from app.risk.rows import HEADS, RiskRow, chance_words
from app.theme import Theme
from app.wrapped_cells import WrappedCells
from planner.risk.chances import Chance

_CHANCE = Qt.ItemDataRole.UserRole
_KEY = Qt.ItemDataRole.UserRole + 1
_BAR_SHARE, _PAD = 0.55, 7.0
"""Height of a bar as a share of a line of words; room at its sides [px]."""
_SURE, _DOUBTFUL = 0.8, 0.5
Index = QModelIndex | QPersistentModelIndex


class ChanceDelegate(WrappedCells):
    """Draws the words of a chance over its bar: the track is all members, the filled part those in which it holds."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        hint = super().sizeHint(option, index)
        return QSize(hint.width(), max(hint.height(), round((1 + _BAR_SHARE) * option.fontMetrics.height() + 14)))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        one = index.data(_CHANCE)
        if not isinstance(one, Chance):
            super().paint(painter, option, index)
            return
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        if selected:
            painter.fillRect(option.rect, QColor(self.theme.picked))
        box = QRectF(option.rect).adjusted(_PAD, 4, -_PAD, -6)
        painter.setFont(option.font)
        painter.setPen(QColor(self.theme.ink))
        words = option.fontMetrics.elidedText(chance_words(one), Qt.TextElideMode.ElideRight, int(box.width()))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft), words)
        tall = _BAR_SHARE * option.fontMetrics.height()
        self._bar(painter, QRectF(box.left(), box.top() + option.fontMetrics.height() + 4, box.width(), tall), one)
        painter.restore()

    def _bar(self, painter: QPainter, track: QRectF, one: Chance) -> None:
        painter.setPen(QPen(QColor(self.theme.soft), 0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        filled = QRectF(track.left(), track.top(), track.width() * one.share, track.height())
        painter.fillRect(filled, QColor(self._fill(one)))
        painter.drawRect(track)
        if 0 < one.held < one.members:
            middle, reach = filled.right(), track.width() * one.standard_error
            painter.setPen(QPen(QColor(self.theme.ink), 1.6))
            painter.drawLine(QLineF(middle - reach, track.center().y(), middle + reach, track.center().y()))
            painter.drawLine(QLineF(middle, track.top() - 2, middle, track.bottom() + 2))

    def _fill(self, one: Chance) -> str:
        if one.share >= _SURE:
            return self.theme.gap_open
        return self.theme.closure_ends if one.share >= _DOUBTFUL else self.theme.breach


class ChanceTable(QTableWidget):
    """Shows rows, the least sure first; one leads to its operation."""

    wanted = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(0, len(HEADS), parent)
        self.setAccessibleName("Chances of gaps and reopenings")
        header = show_as_rows(self, HEADS)
        self.setVerticalScrollMode(QTableWidget.ScrollMode.ScrollPerPixel)
        self.delegate = ChanceDelegate(theme, self)
        for column in (1, 2):
            self.setItemDelegateForColumn(column, self.delegate)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        # Once after all columns have their widths, which are told one by one.
        self._settle = QTimer(self, interval=0, singleShot=True)
        self._settle.timeout.connect(self.resizeRowsToContents)
        header.sectionResized.connect(lambda *_sizes: self._settle.start())
        self.cellClicked.connect(lambda row, _column: self._go(row))
        self.cellActivated.connect(lambda row, _column: self._go(row))

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self.delegate.theme = theme
        self.viewport().update()

    def show_rows(self, rows: Sequence[RiskRow]) -> None:
        """Show rows in their order."""
        self.setRowCount(len(rows))
        for number, row in enumerate(rows):
            name = QTableWidgetItem(row.words)
            name.setData(_KEY, row.key)
            self.setItem(number, 0, name)
            for column, one in ((1, row.planned), (2, row.waiting)):
                item = QTableWidgetItem(chance_words(one))
                item.setData(_CHANCE, one)
                self.setItem(number, column, item)
        self.resizeRowsToContents()

    def _go(self, row: int) -> None:
        item = self.item(row, 0)
        key = str(item.data(_KEY) or "") if item is not None else ""
        if key:
            self.wanted.emit(key)
