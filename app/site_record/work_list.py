"""The day's work in running order, each row with two buttons that a gloved finger hits."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.restyle import restyle
from app.site_record.page import VisitKey, WorkRow
from planner.site_record.progress import State

TOUCH_PX = 44
"""The least height of what is pressed (WCAG 2.1, 2.5.5)."""
_SLICE = 6
"""Lines made at a time: a day of many would hold the window up for a tenth of a second."""
_MARKS = {State.DONE: "✓ done", State.UNDER_WAY: "▶ under way", State.NOT_BEGUN: ""}


class WorkLine(QFrame):
    """One visit: planned times, name, what is recorded, its gap, and the buttons."""

    chosen = Signal(object)
    """The visit's key."""
    started = Signal(object)
    finished = Signal(object)

    def __init__(self, row: WorkRow, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="work")
        self.row = row
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.when, self.name = _label("quiet"), _label("panelTitle")
        self.where, self.state, self.gap = _label("quiet"), _label("workState"), _label("gap")
        self.start = QPushButton("Started now", objectName="touch")
        self.finish = QPushButton("Finished now", objectName="touch")
        self.start.clicked.connect(lambda: self.started.emit(self.row.key))
        self.finish.clicked.connect(lambda: self.finished.emit(self.row.key))
        grid = QGridLayout(self)
        grid.setContentsMargins(14, 8, 14, 8)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(2)
        for number, label in enumerate((self.when, self.name, self.where, self.state, self.gap)):
            grid.addWidget(label, number, 0)
        for column, button in enumerate((self.start, self.finish), start=1):
            grid.addWidget(button, 0, column, 5, 1, Qt.AlignmentFlag.AlignVCenter)
        grid.setColumnStretch(0, 1)
        self.show_row(row, False, False)

    def show_row(self, row: WorkRow, can_record: bool, is_chosen: bool) -> None:
        """Show a row; can_record: whether the buttons may be pressed now."""
        self.row = row
        late = "not recorded  ·  " if row.is_overdue else ""
        self.when.setText(f"{late}{row.when}{_hold_words(row)}")
        self.name.setText(row.name)
        self.where.setText(row.where)
        mark = _presumed_words(row) if row.is_presumed else _MARKS[row.state]
        self.state.setText("  ·  ".join(part for part in (mark, row.real) if part))
        self.state.setVisible(bool(self.state.text()))
        restyle(self.state, "quiet" if row.is_presumed and row.hold else "workState")
        self.gap.setText(f"{'✗ ' if row.missed else ''}{row.gap}")
        self.gap.setVisible(bool(row.gap))
        restyle(self.gap, "bad" if row.missed else "gap")
        restyle(self, "workChosen" if is_chosen else "work")
        if self.start.hasFocus() or self.finish.hasFocus():
            self.setFocus(Qt.FocusReason.OtherFocusReason)  # a button that goes grey would hand it to the next row
        self.start.setEnabled(can_record and row.said.started is None)
        self.finish.setEnabled(can_record and row.said.started is not None and row.said.finished is None)
        self.start.setAccessibleName(f"{row.name} started now")
        self.finish.setAccessibleName(f"{row.name} finished now")
        self.setAccessibleName(f"{row.name}, {row.where}, {self.when.text()}, {self.state.text()} {self.gap.text()}")

    def mousePressEvent(self, event: QMouseEvent) -> None:
        super().mousePressEvent(event)
        self.chosen.emit(self.row.key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.chosen.emit(self.row.key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        parent = self.parentWidget()
        if step is None or parent is None:
            super().keyPressEvent(event)
            return
        lines = parent.findChildren(WorkLine)
        there = lines.index(self) + step
        if 0 <= there < len(lines):
            lines[there].setFocus(Qt.FocusReason.OtherFocusReason)


class WorkList(QScrollArea):
    """All visits of the day; the lines of a long day are made a few at a time."""

    chosen = Signal(object)
    started = Signal(object)
    finished = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, accessibleName="The day's work")
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._holder = QWidget(objectName="workHolder")
        self._column = QVBoxLayout(self._holder)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self.setWidget(self._holder)
        self.lines: list[WorkLine] = []
        """Those made so far, in order."""
        self._rows: tuple[WorkRow, ...] = ()
        self._can_record = False
        self._chosen: VisitKey | None = None
        self._more = QTimer(self, interval=0)
        self._more.timeout.connect(self._make_some)

    def show_rows(self, rows: Sequence[WorkRow], can_record: bool, chosen: VisitKey | None) -> None:
        """Show these rows; widgets of rows that stay are kept, so that the keys stay where they are."""
        is_other = [row.key for row in self._rows] != [row.key for row in rows]
        self._rows, self._can_record, self._chosen = tuple(rows), can_record, chosen
        if is_other:
            self._clear()
        for line, row in zip(self.lines, rows, strict=False):  # the rest are still to be made
            line.show_row(row, can_record, row.key == chosen)
        if is_other:
            self._make_some()

    def close_all(self) -> None:
        """Make no more lines; the window shuts."""
        self._more.stop()

    def line(self, key: VisitKey | None) -> WorkLine | None:
        """Return the row of a visit, or None."""
        return next((line for line in self.lines if line.row.key == key), None)

    def _clear(self) -> None:
        for line in self.lines:
            self._column.removeWidget(line)
            line.deleteLater()
        self.lines = []

    def _make_some(self) -> None:
        """Make the next lines, and go on when the window has had its turn."""
        for row in self._rows[len(self.lines) : len(self.lines) + _SLICE]:
            line = WorkLine(row)
            line.show_row(row, self._can_record, row.key == self._chosen)
            line.chosen.connect(self.chosen)
            line.started.connect(self.started)
            line.finished.connect(self.finished)
            self._column.insertWidget(len(self.lines), line)
            self.lines.append(line)
        if len(self.lines) < len(self._rows):
            self._more.start()
        else:
            self._more.stop()


def _hold_words(row: WorkRow) -> str:
    before = "  ·  HOLD POINT" if row.hold else ""
    return f"{before}  ·  HOLD BEFORE REOPENING" if row.reopening_hold else before


def _presumed_words(row: WorkRow) -> str:
    """Return what is said of work taken as done: never a tick for a hold point, which nobody here has released."""
    return (
        "nothing recorded: was it done and released?"
        if row.hold or row.reopening_hold
        else "✓ taken as done, nothing recorded"
    )


def _label(name: str) -> QLabel:
    return QLabel("", objectName=name, textFormat=Qt.TextFormat.PlainText, wordWrap=True)
