"""The Table view: the board's data to be read, put in order, found and copied; one selection with the board."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QComboBox, QFrame, QLabel, QLineEdit, QPushButton, QTableView, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.flow import Flow
from app.job_view import JobView
from app.layouts import label_of, stack_up
from app.session import Session
from app.table_view.copying import copied
from app.table_view.lines import HEADS, START, Line, lines_of
from app.table_view.model import VisitTable
from app.tasks import Asker
from app.text_size import ColumnFitter
from planner.findings import Finding

_LEAST_PX = {
    "Element": 195,
    "Operation": 180,
    "Gang": 140,
    "Closure": 90,
    "Findings": 110,
}
"""Columns that give way where the window is narrow, and down to how many pixels."""
_EMPTY = "No line holds all these words. Esc in the field shows all lines again."


class VisitView(QTableView):
    """The table itself: Enter goes to the board, the usual key copies."""

    line_wanted = Signal(QModelIndex)
    """A line is to be shown on the board. Not `entered`: Qt sends that where lines scroll under the pointer."""
    copy_wanted = Signal()

    def __init__(self, model: VisitTable, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModel(model)
        self.setAccessibleName("Visits")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.setTabKeyNavigation(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionsMovable(True)
        header.setStretchLastSection(True)
        header.setSortIndicator(START, Qt.SortOrder.AscendingOrder)
        self.setSortingEnabled(True)
        self.columns = ColumnFitter(self, {HEADS.index(head): least for head, least in _LEAST_PX.items()})
        self.doubleClicked.connect(self.line_wanted)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.line_wanted.emit(self.currentIndex())
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit()
        else:
            super().keyPressEvent(event)


class Finder(QLineEdit):
    """The field that narrows the lines down: Esc empties it, an arrow down goes to the lines."""

    down = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.clear()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.down.emit()
        else:
            super().keyPressEvent(event)


class TableView(JobView):
    """Lines are worked out off the window's thread, and only while they are seen."""

    find: Finder  # type: ignore[assignment]  # Qt's own method of this name is not used here
    keys = (
        ("Enter", "the chosen line's bar on the board"),
        ("Ctrl+C", "copy the chosen lines, or all, for a spreadsheet"),
        ("Down", "from the field to the lines"),
        ("Esc", "in the field: all lines again"),
    )

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session: Session | None = None
        self._key, self._number = "", 1
        self._quiet = False
        self.asker = Asker(self)
        self.asker.answered.connect(self._show_lines)
        self.asker.failed.connect(self.told)
        self.model = VisitTable(kit.theme, self)
        self.table = VisitView(self.model)
        self._build()
        self.setAccessibleName("Table")

    def _build(self) -> None:
        self.find = Finder(accessibleName="Show only lines with", clearButtonEnabled=True)
        self.find.setPlaceholderText("part of any name, day, gang, state …")
        self.find.setToolTip("Show only lines that hold all these words; Esc shows all again")
        self.find.setMinimumWidth(260)
        self.order = QComboBox(
            accessibleName="In order of", toolTip="Put the lines in order; a click on a heading too"
        )
        self.order.addItems(HEADS)
        self.order.setCurrentIndex(START)
        self.turn = QPushButton("Other way round", checkable=True, toolTip="Put the last line first")
        self.copy = QPushButton("Copy", toolTip="Copy the chosen lines, or all, for a spreadsheet (Ctrl+C)")
        self.count = QLabel("", objectName="quiet")
        bar = QWidget(objectName="header")
        row = Flow()
        for words, widget in (("&Only lines with", self.find), ("In order o&f", self.order)):
            row.addWidget(label_of(widget, words))
            row.addWidget(widget)
        for widget in (self.turn, self.copy, self.count):
            row.addWidget(widget)
        inside = QVBoxLayout(bar)
        inside.setContentsMargins(14, 7, 14, 6)
        inside.addLayout(row)
        self.empty = QLabel(_EMPTY, objectName="quiet", wordWrap=True)
        self.empty.setContentsMargins(14, 10, 14, 10)
        self.empty.hide()
        stack_up(self, bar, self.empty, self.table, grows=self.table)
        self._connect()

    def _connect(self) -> None:
        self.find.textChanged.connect(self._look_for)
        self.find.down.connect(self._go_down)
        self.order.activated.connect(lambda _index: self._put_in_order())
        self.turn.clicked.connect(lambda _checked: self._put_in_order())
        self.copy.clicked.connect(self.copy_lines)
        self.table.copy_wanted.connect(self.copy_lines)
        self.table.line_wanted.connect(self._enter)
        self.table.horizontalHeader().sortIndicatorChanged.connect(self._ordered)
        self.table.selectionModel().currentRowChanged.connect(self._chosen)
        self.model.modelReset.connect(self._choose_again)

    # --- session

    def set_kit(self, kit: Kit) -> None:
        """Write with another theme's colours."""
        self.model.set_theme(kit.theme)

    def look_for_text(self) -> bool:
        """Let the user narrow the lines down."""
        self.find.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.find.selectAll()
        return True

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened: all its lines."""
        self._key = ""
        self.find.clear()
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        """Show the same job with another plan."""
        self.session = session
        self.renew_seen()

    def bring_up_to_date(self) -> None:
        session = self.session
        if session is not None:
            self.asker.ask(lambda: lines_of(session))

    def _show_lines(self, lines: tuple[Line, ...]) -> None:
        self.model.set_lines(lines)

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key."""
        return self.table, self.find

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.asker.close()

    # --- selection

    def select(self, key: str) -> None:
        """Choose the line of the operation that is selected on the board."""
        if not self._quiet and key != self._key:
            self._key, self._number = key, 1
            self._choose_again()

    def _choose_again(self) -> None:
        """Choose the selected operation's line again after the lines were renewed."""
        shown, everything = len(self.model.shown), len(self.model.lines)
        self.count.setText(f"{shown} of {everything} lines" if shown != everything else f"{shown} lines")
        self.empty.setVisible(bool(everything) and not shown)
        row = self.model.row_of(self._key, self._number) if self._key else None
        if row is None and self._key:
            row = self.model.row_of(self._key)
        self._quiet = True
        if row is None:
            self.table.clearSelection()
            self.table.selectionModel().setCurrentIndex(QModelIndex(), QItemSelectionModel.SelectionFlag.NoUpdate)
        else:
            self.table.setCurrentIndex(self.model.index(row, max(0, self.table.currentIndex().column())))
            self.table.scrollTo(self.table.currentIndex())
        self._quiet = False

    def _chosen(self, current: QModelIndex, _previous: QModelIndex) -> None:
        if self._quiet or not current.isValid():
            return
        line = self.model.shown[current.row()]
        self._key, self._number = line.key, line.number
        self._quiet = True
        self.operation_selected.emit(line.key, line.number)
        self._quiet = False

    def _enter(self, index: QModelIndex) -> None:
        if index.isValid():
            line = self.model.shown[index.row()]
            self.finding_wanted.emit(Finding("wanted", line.key, "", "", slot=line.start))
            self.operation_selected.emit(line.key, line.number)

    # --- order, finding, copying

    def _look_for(self, text: str) -> None:
        self.model.look_for(text)

    def _go_down(self) -> None:
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)
        if not self.table.currentIndex().isValid() and self.model.shown:
            self.table.setCurrentIndex(self.model.index(0, 0))

    def _put_in_order(self) -> None:
        down = Qt.SortOrder.DescendingOrder if self.turn.isChecked() else Qt.SortOrder.AscendingOrder
        self.table.sortByColumn(self.order.currentIndex(), down)

    def _ordered(self, column: int, order: Qt.SortOrder) -> None:
        self.order.setCurrentIndex(column)
        self.turn.setChecked(order is Qt.SortOrder.DescendingOrder)

    def copy_lines(self) -> None:
        """Put the chosen lines, or all that are shown where none is chosen, on the clipboard."""
        rows = sorted({index.row() for index in self.table.selectionModel().selectedRows()})
        lines = [self.model.shown[row] for row in rows] or self.model.shown
        QGuiApplication.clipboard().setText(copied(HEADS, [line.words for line in lines]))
        self.told.emit(f"Copied {len(lines)} line{'s' if len(lines) != 1 else ''}")
