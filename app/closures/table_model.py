"""The closures as a table: a tick for what is on offer, a state that can be changed, and figures to compare."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QFont

from app.closures.rows import ClosureRow
from app.hover import plain_tip
from app.theme import LIGHT, Theme
from planner.model import ClosureState

_Index = QModelIndex | QPersistentModelIndex
_NONE = QModelIndex()
OFFER, STATE = 0, 6


@dataclass(frozen=True)
class Column:
    """A column: its heading, what the heading's tip says, and the words of a row in it.

    least: down to how many pixels it gives way where there is little room; 0 for a column that never does.
    """

    heading: str
    tip: str
    words: Callable[[ClosureRow], str]
    right: bool = False
    least: int = 0


LEAST, REFUSED = "Least, looked into", "If refused"
_OF_ANOTHER = "of the plan looked into, which need not be the one on the board"
COLUMNS = (
    Column("On offer", "Ticked: a study may use it. This is a question only and changes no state.", lambda row: ""),
    Column("Closure", "Its name and its id in the job's file", lambda row: row.name, least=150),
    Column("Lanes", "The lanes that it shuts", lambda row: row.lanes, least=92),
    Column("Cones on", "From when the lanes are shut, set-out included", lambda row: row.on),
    Column("Cones off", "From when the lanes are open again", lambda row: row.off),
    Column("Time for work", "Between set-out and clearing", lambda row: row.hours, True),
    Column("State", "W wanted, Q requested, A agreed, R refused", lambda row: row.state.value),
    Column(REFUSED, "What the plan looked into loses without it", lambda row: row.refused or "–", least=150),
    Column(
        LEAST,
        f"Least length: the shortest that does, cones on to cones off, {_OF_ANOTHER}",
        lambda row: row.least or "–",
    ),
    Column("Cost", "In the job's currency", lambda row: row.cost, True),
    Column("On the board", "What the plan on the board does in it", lambda row: row.used or "–"),
)


class ClosureTable(QAbstractTableModel):
    """Rows are closures by start; what is changed is handed on, never taken in here."""

    state_wanted = Signal(object, object)
    """A tuple of closure ids and the `ClosureState` that they shall have."""
    offer_changed = Signal(str, bool)
    """A closure's id, and whether a study may use it."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self.rows: tuple[ClosureRow, ...] = ()
        self.theme: Theme = LIGHT
        self.stale = False
        self._bold = QFont()
        self._bold.setBold(True)

    def show_rows(self, rows: tuple[ClosureRow, ...], theme: Theme, stale: bool) -> None:
        """Show these rows; the table is only reset where other closures came. stale: the study is of before."""
        same = [row.id for row in rows] == [row.id for row in self.rows]
        if not same:
            self.beginResetModel()
        self.rows, self.theme, self.stale = rows, theme, stale
        if not same:
            self.endResetModel()
        elif rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(COLUMNS) - 1))

    def rowCount(self, parent: _Index = _NONE) -> int:
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: _Index = _NONE) -> int:
        return 0 if parent.isValid() else len(COLUMNS)

    def flags(self, index: _Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        plain = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.column() == OFFER:
            return plain | Qt.ItemFlag.ItemIsUserCheckable
        return plain | Qt.ItemFlag.ItemIsEditable if index.column() == STATE else plain

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation is not Qt.Orientation.Horizontal or section >= len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return COLUMNS[section].heading
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if COLUMNS[section].right else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        return COLUMNS[section].tip if role == Qt.ItemDataRole.ToolTipRole else None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        row, column = self.rows[index.row()], COLUMNS[index.column()]
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.EditRole:
                return column.words(row)
            case Qt.ItemDataRole.CheckStateRole if index.column() == OFFER:
                return Qt.CheckState.Checked if row.offered else Qt.CheckState.Unchecked
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
                return int(side | Qt.AlignmentFlag.AlignVCenter)
            case Qt.ItemDataRole.FontRole:
                return self._bold if row.inside and column.heading in ("Closure", "On the board") else None
            case Qt.ItemDataRole.ForegroundRole:
                return self._colour(row, column)
            case Qt.ItemDataRole.ToolTipRole:
                return None if (words := _tip(row, column)) is None else plain_tip(words)
            case Qt.ItemDataRole.AccessibleTextRole:
                words = ("yes" if row.offered else "no") if index.column() == OFFER else column.words(row)
                return f"{column.heading}: {words}"
        return None

    def setData(self, index: _Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if not index.isValid():
            return False
        row = self.rows[index.row()]
        if role == Qt.ItemDataRole.CheckStateRole and index.column() == OFFER:
            self.offer_changed.emit(row.id, Qt.CheckState(value) is Qt.CheckState.Checked)
            return True
        if role == Qt.ItemDataRole.EditRole and index.column() == STATE and value != row.state.value:
            self.state_wanted.emit((row.id,), ClosureState(value))
            return True
        return False

    def _colour(self, row: ClosureRow, column: Column) -> QColor | None:
        if row.state is ClosureState.REFUSED:
            return QColor(self.theme.soft)
        if not row.work_from and column.heading == "Time for work":
            return QColor(self.theme.advice)
        return QColor(self.theme.soft) if self.stale and column.heading in (LEAST, REFUSED) else None


def _tip(row: ClosureRow, column: Column) -> str | None:
    """Return the whole words of a cell that may be cut."""
    if column.heading == "Closure":
        return f"{row.name} ({row.id})"[:400]
    if column.heading == "On the board" and row.inside:
        return "\n".join(f"{one.element}: {one.name}"[:120] for one in row.inside[:20])
    words = column.words(row)
    if column.heading == LEAST and row.least:
        return f"{words}, {_OF_ANOTHER}"
    return words[:400] if len(words) > 12 else None
