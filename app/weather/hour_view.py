"""The table of hours: fixed rows, so that any number of them scrolls alike; cells are typed over."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableView, QWidget

from app.text_size import larger
from app.weather.chart_data import ChartData
from app.weather.snapshot import Snapshot
from app.weather.table_model import HourTable

_LEAST_TALL_PX = 110
_TIME_PX, _CELL_PX, _SURFACE_PX = 150, 78, 100


class HourView(QTableView):
    """Shows an `HourTable`; typing on a cell changes it, Enter goes on to the next hour."""

    def __init__(self, model: HourTable, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hours = model
        self.setModel(model)
        self.setAccessibleName("Forecast by the hour")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setMinimumHeight(larger(self, _LEAST_TALL_PX))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.horizontalHeader().setHighlightSections(False)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self.setMinimumHeight(larger(self, _LEAST_TALL_PX))

    def showEvent(self, event: QShowEvent) -> None:
        """Begin with the time: an hour that was gone to while there was no room yet has scrolled it away."""
        super().showEvent(event)
        if self.currentIndex().column() <= 1:
            self.horizontalScrollBar().setValue(0)

    def show_snapshot(self, snapshot: Snapshot, data: ChartData) -> None:
        """Show a snapshot; the row that was chosen stays chosen."""
        row, column, columns = self.currentIndex().row(), self.currentIndex().column(), self._hours.columns
        self._hours.set_snapshot(snapshot, data)
        if columns != self._hours.columns:
            for number, one in enumerate(self._hours.columns):
                wide = _TIME_PX if number == 0 else _SURFACE_PX if one.group is not None else _CELL_PX
                head = self.horizontalHeader().sectionSizeHint(number)
                self.setColumnWidth(number, max(head, larger(self, wide)))
        if row >= 0 and not self.currentIndex().isValid():
            self.setCurrentIndex(self._hours.index(min(row, self._hours.rowCount() - 1), max(0, column)))

    def go_to_row(self, row: int) -> None:
        """Choose an hour and bring it into view."""
        column = max(self.currentIndex().column(), 1)
        self.setCurrentIndex(self._hours.index(row, column))
        self.scrollTo(self.currentIndex(), QAbstractItemView.ScrollHint.PositionAtCenter)

    def selected_rows(self) -> tuple[int, int] | None:
        """Return the first and last row of a selection of several; None where only one is selected."""
        ranges = self.selectionModel().selection().toList()
        rows, ends = [one.top() for one in ranges], [one.bottom() for one in ranges]
        return (min(rows), max(ends)) if rows and max(ends) > min(rows) else None
