"""The lines as Qt's table: put in order and narrowed down here, so that any number of them stays quick."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from app.hover import plain_tip
from app.table_view.lines import HEADS, START, Line
from app.theme import Theme

_Index = QModelIndex | QPersistentModelIndex
_NONE = QModelIndex()
_FINDINGS, _SPARE = HEADS.index("Findings"), HEADS.index("Spare")


class VisitTable(QAbstractTableModel):
    """Shows those of its lines that hold every word looked for."""

    def __init__(self, theme: Theme, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.lines: tuple[Line, ...] = ()
        self.shown: list[Line] = []
        self._words: tuple[str, ...] = ()
        self._order, self._backwards = START, False

    def set_theme(self, theme: Theme) -> None:
        """Write with another theme's colours."""
        self.theme = theme
        self._renew()

    def set_lines(self, lines: Sequence[Line]) -> None:
        """Show other lines in the order that was chosen."""
        self.lines = tuple(lines)
        self._renew()

    def look_for(self, text: str) -> None:
        """Show only lines that hold each of these words somewhere."""
        self._words = tuple(text.casefold().split())
        self._renew()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Put the lines in the order of a column; lines that are alike there stay in the board's order."""
        self._order, self._backwards = column, order is Qt.SortOrder.DescendingOrder
        self._renew()

    def row_of(self, key: str, number: int | None = None) -> int | None:
        """Return the row of a visit, of the first where no number is given; None where it is not shown."""
        found = (i for i, line in enumerate(self.shown) if line.key == key and number in (None, line.number))
        return next(found, None)

    def _renew(self) -> None:
        self.beginResetModel()
        found = [line for line in self.lines if all(word in line.searched for word in self._words)]
        found.sort(key=lambda line: line.orders[self._order], reverse=self._backwards)
        self.shown = found
        self.endResetModel()

    def rowCount(self, parent: _Index = _NONE) -> int:
        return 0 if parent.isValid() else len(self.shown)

    def columnCount(self, parent: _Index = _NONE) -> int:
        return 0 if parent.isValid() else len(HEADS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return HEADS[section]
            case Qt.ItemDataRole.TextAlignmentRole:
                return int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
            case Qt.ItemDataRole.ToolTipRole:
                return f"{HEADS[section]}; click to put the lines in this order"
        return None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        line, column = self.shown[index.row()], index.column()
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return line.words[column]
            case Qt.ItemDataRole.ToolTipRole:
                return None if not line.words[column] else plain_tip(line.words[column])
            case Qt.ItemDataRole.AccessibleTextRole:
                return f"{HEADS[column]}: {line.words[column] or 'none'}"
            case Qt.ItemDataRole.ForegroundRole:
                return self._colour(line, column)
        return None

    def _colour(self, line: Line, column: int) -> QColor | None:
        text = line.words[column]
        if (column == _FINDINGS and line.broken) or (column == _SPARE and text.startswith("missed")):
            return QColor(self.theme.breach)
        return QColor(self.theme.advice) if column == _FINDINGS and text else None
