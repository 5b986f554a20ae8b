"""The table of closures: letters change the state of the rows that are selected, Space ticks what is on offer."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QFrame,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.closures.table_model import COLUMNS, OFFER, STATE, ClosureTable
from app.text_size import ColumnFitter
from planner.model import ClosureState

_ROW_PX = 24
STATE_KEYS = {
    Qt.Key.Key_W: ClosureState.WANTED,
    Qt.Key.Key_Q: ClosureState.REQUESTED,
    Qt.Key.Key_A: ClosureState.AGREED,
    Qt.Key.Key_R: ClosureState.REFUSED,
}


class StateBox(QStyledItemDelegate):
    """Lets a closure's state be chosen from a list."""

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        box = QComboBox(parent, accessibleName="State")
        box.addItems([state.value for state in ClosureState])
        box.activated.connect(lambda _index: self._choose(box))
        return box

    def _choose(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:
        assert isinstance(editor, QComboBox)
        editor.setCurrentText(str(index.data(Qt.ItemDataRole.EditRole)))

    def setModelData(self, editor: QWidget, model: object, index: QModelIndex | QPersistentModelIndex) -> None:
        assert isinstance(editor, QComboBox)
        assert isinstance(model, ClosureTable)
        model.setData(model.index(index.row(), index.column()), editor.currentText())


class ClosureTableView(QTableView):
    """Shows a `ClosureTable`, a closure a row."""

    copy_wanted = Signal()
    """The request list is wanted on the clipboard."""

    def __init__(self, model: ClosureTable, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._closures = model
        self.setModel(model)
        self.setItemDelegateForColumn(STATE, StateBox(self))
        self.setAccessibleName("Closures of the job")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setMinimumHeight(120)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(_ROW_PX)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setHighlightSections(False)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        given = enumerate(COLUMNS)
        self.columns = ColumnFitter(self, {number: column.least for number, column in given if column.least})

    @property
    def selected_ids(self) -> tuple[str, ...]:
        """The closures whose rows are selected."""
        rows = sorted(index.row() for index in self.selectionModel().selectedRows())
        return tuple(self._closures.rows[row].id for row in rows)

    def go_to(self, id: str) -> None:
        """Select a closure's row and bring it into view."""
        for number, row in enumerate(self._closures.rows):
            if row.id == id:
                self.setCurrentIndex(self._closures.index(number, 1))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
        state = STATE_KEYS.get(Qt.Key(event.key())) if plain else None
        if state is not None and self.selected_ids:
            self._closures.state_wanted.emit(self.selected_ids, state)
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit()
        elif plain and event.key() == Qt.Key.Key_Space and self.selected_ids:
            self._turn_offer()
        elif plain and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self.edit(self._closures.index(self.currentIndex().row(), STATE))
        else:
            super().keyPressEvent(event)

    def _turn_offer(self) -> None:
        """Tick all selected rows, or untick them where all are ticked."""
        rows = sorted(index.row() for index in self.selectionModel().selectedRows())
        ticked = all(self._closures.rows[row].offered for row in rows)
        value = Qt.CheckState.Unchecked if ticked else Qt.CheckState.Checked
        for row in rows:
            self._closures.setData(self._closures.index(row, OFFER), value, Qt.ItemDataRole.CheckStateRole)
