"""The table of ways out: one row each, the plan as it stands first; what is best is said in words."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QFont, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from app.layouts import show_as_rows
from app.replan.rows import HEADS, WayRow
from app.theme import Theme

_LANES = 5
_WIDE = (0, len(HEADS) - 1)
_LEAST_LETTERS = 24
_BETWEEN_PX = 6
"""Room between rows, whose words may run over several lines."""
_NUMBERS = (1, 3, 4, 5)
_NAME = Qt.ItemDataRole.UserRole


class WaysTable(QTableWidget):
    """Shows rows; one can be chosen."""

    way_chosen = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(0, len(HEADS), parent)
        self.theme = theme
        self._rows: tuple[WayRow, ...] = ()
        self.setAccessibleName("Ways out")
        header = show_as_rows(self, HEADS)
        head = QTableWidgetItem(HEADS[_LANES])
        head.setToolTip(
            "In how many of 200 weathers about this forecast every lane reopens in time, at the times planned"
        )
        self.setHorizontalHeaderItem(_LANES, head)
        for column in range(len(HEADS)):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        for column in _WIDE:
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
        self.currentCellChanged.connect(self._chosen)

    @property
    def chosen(self) -> str:
        """The name of the way chosen; "" for the plan as it stands, or none."""
        row = self.currentRow()
        return self._rows[row].name if 0 <= row < len(self._rows) else ""

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self.theme = theme
        self.show_rows(self._rows, self.chosen)

    def show_rows(self, rows: Sequence[WayRow], chosen: str) -> None:
        """Show rows; `chosen` is the name of the one that is chosen."""
        blocked = self.blockSignals(True)
        self._rows = tuple(rows)
        self.setRowCount(len(rows))
        for number, row in enumerate(rows):
            for column, words in enumerate(row.cells):
                self.setItem(number, column, self._item(row, column, words))
            if row.name == chosen:
                self.setCurrentCell(number, 0)
        self._fit()
        self.blockSignals(blocked)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Share the room that is left between the columns of words; where it is too little, the table scrolls."""
        header = self.horizontalHeader()
        taken = sum(header.sectionSize(column) for column in range(len(HEADS)) if column not in _WIDE)
        least = _LEAST_LETTERS * self.fontMetrics().averageCharWidth()
        for column in _WIDE:
            header.resizeSection(column, max(least, (self.viewport().width() - taken) // len(_WIDE)))
        self.resizeRowsToContents()
        for row in range(self.rowCount()):
            self.setRowHeight(row, self.rowHeight(row) + _BETWEEN_PX)

    def _item(self, row: WayRow, column: int, words: str) -> QTableWidgetItem:
        item = QTableWidgetItem(words)
        item.setData(_NAME, row.name)
        side = Qt.AlignmentFlag.AlignRight if column in _NUMBERS else Qt.AlignmentFlag.AlignLeft
        item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
        if row.state != "found":
            item.setForeground(QColor(self.theme.soft))
        if row.is_best:
            font = QFont(self.font())
            font.setBold(True)
            item.setFont(font)
        return item

    def _chosen(self, row: int, _column: int, before: int, _from: int) -> None:
        if row != before and 0 <= row < len(self._rows):
            self.way_chosen.emit(self._rows[row].name)
