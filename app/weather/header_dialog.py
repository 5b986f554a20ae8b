"""The dialog in which a person says which column of a sheet is what, and in which unit."""

from __future__ import annotations

import re

from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QGridLayout,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.dialog import Dialog
from app.plain_buttons import Standard, plain_buttons
from app.weather.snapshot import NAMES
from planner.weather.csv_rows import Table
from planner.weather.header_guess import Proposal, guess_map
from planner.weather.header_map import OPTIONAL, unit_choices
from planner.weather.series import COLUMNS

_NONE = -1
_YEAR_LAST = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-]\d{4}\b")
_PREVIEW_ROWS = 6
_WIDEST_PX = 260
_ORDERS = (("year-month-day", "ymd"), ("day-month-year", "dmy"), ("month-day-year", "mdy"))
_CLOCKS = (("the site's clock", "local"), ("UTC", "utc"))


def needs_a_person(table: Table) -> bool:
    """Say whether the names alone leave it open what a sheet's columns are, or in which unit."""
    proposal = guess_map(table.header.cells, table.rows[0].cells)
    stated = all(place.stated for place in proposal.columns.values())
    return not (
        proposal.complete and stated and proposal.time and date_order(table, proposal.time.indexes[0]) == "ymd"
    )


def date_order(table: Table, index: int) -> str:
    """Return the order of the dates in a column: "ymd", "dmy" or "mdy"; where both fit, the day comes first."""
    cells = (row.cells[index] for row in table.rows if index < len(row.cells))
    pairs = [(int(found[1]), int(found[2])) for found in map(_YEAR_LAST.match, cells) if found]
    if not pairs:
        return "ymd"
    return "mdy" if any(second > 12 for _, second in pairs) else "dmy"


class HeaderDialog(Dialog):
    """Shows the sheet's first rows, with what the program takes its columns for; every choice can be changed."""

    def __init__(self, table: Table, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._headers = table.header.cells
        self.setWindowTitle("Columns of the forecast")
        proposal = guess_map(table.header.cells, table.rows[0].cells)
        self.preview = _preview(table)
        self.time = self._header_box("Time", optional=False)
        self.clock_time = self._header_box("Time of day", optional=True)
        self.order, self.clock = QComboBox(accessibleName="Order of the date"), QComboBox(accessibleName="Clock")
        for box, choices in ((self.order, _ORDERS), (self.clock, _CLOCKS)):
            for words, value in choices:
                box.addItem(words, value)
        self.columns = {column: self._header_box(NAMES[column], column in OPTIONAL) for column in COLUMNS}
        self.units = {column: _unit_box(column) for column in COLUMNS}
        self.words = QLabel("", objectName="quiet", wordWrap=True)
        self.buttons = plain_buttons(Standard.Ok, Standard.Cancel)
        self.buttons.button(Standard.Ok).setText("Read it so")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self._lay_out(name)
        self._propose(table, proposal)
        for box in (self.time, self.clock_time, *self.columns.values()):
            box.currentIndexChanged.connect(self._say)
        self._say()
        self.open_at(760, 520)

    @property
    def said(self) -> str:
        """The columns in the line that `planner.weather.header_map.parse_columns` reads."""
        indexes = [self.time.currentData(), self.clock_time.currentData()]
        time = "+".join(f"#{index + 1}" for index in indexes if index != _NONE)
        parts = [f"time={time}[{self.order.currentData()} {self.clock.currentData()}]"]
        for column, box in self.columns.items():
            if box.currentData() != _NONE:
                parts.append(f"{column}=#{box.currentData() + 1}[{self.units[column].currentText()}]")
        return ", ".join(parts)

    def _header_box(self, name: str, optional: bool) -> QComboBox:
        box = QComboBox(accessibleName=f"Column of {name}")
        box.addItem("none" if optional else "choose …", _NONE)
        for index, header in enumerate(self._headers):
            box.addItem(header or f"column {index + 1}", index)
        return box

    def _propose(self, table: Table, proposal: Proposal) -> None:
        if proposal.time is not None:
            indexes = proposal.time.indexes
            self.time.setCurrentIndex(indexes[0] + 1)
            self.clock_time.setCurrentIndex(indexes[1] + 1 if len(indexes) > 1 else 0)
            self.clock.setCurrentIndex(self.clock.findData(proposal.time.clock))
            self.order.setCurrentIndex(self.order.findData(date_order(table, indexes[0])))
        for column, place in proposal.columns.items():
            self.columns[column].setCurrentIndex(place.index + 1)
            self.units[column].setCurrentIndex(self.units[column].findText(place.unit.name))

    def _lay_out(self, name: str) -> None:
        layout = self.lines()
        title = QLabel(f"What are the columns of {name}?", objectName="panelTitle", wordWrap=True)
        layout.addWidget(title)
        layout.addWidget(self.preview, 1)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        self._row(grid, 0, "Time", self.time, self.order)
        self._row(grid, 1, "Time of day, if it has its own column", self.clock_time, self.clock)
        for number, column in enumerate(COLUMNS, start=2):
            words = NAMES[column] + (f" (none: {OPTIONAL[column]:g} % in every hour)" if column in OPTIONAL else "")
            self._row(grid, number, words, self.columns[column], self.units[column])
        grid.setColumnStretch(1, 1)
        layout.addLayout(grid)
        layout.addWidget(self.words)
        layout.addWidget(self.buttons)

    def _row(self, grid: QGridLayout, number: int, words: str, box: QComboBox, other: QComboBox) -> None:
        label = QLabel(words)
        label.setBuddy(box)
        for place, widget in enumerate((label, box, other)):
            grid.addWidget(widget, number, place)

    def _say(self) -> None:
        """Say what is missing or chosen twice; without fault, the sheet can be read."""
        open_ones = [NAMES[c] for c, box in self.columns.items() if box.currentData() == _NONE and c not in OPTIONAL]
        if self.time.currentData() == _NONE:
            open_ones.insert(0, "Time")
        chosen = [box.currentData() for box in (self.time, self.clock_time, *self.columns.values())]
        used = [index for index in chosen if index != _NONE]
        twice = sorted({self._headers[index] for index in used if used.count(index) > 1})
        text = f"Still to choose: {', '.join(open_ones)}." if open_ones else ""
        text += f" Chosen twice: {', '.join(twice)}." if twice else ""
        self.words.setText(text.strip() or "Rain is what falls in the hour that begins at its time. Check the units.")
        self.buttons.button(Standard.Ok).setEnabled(not text)


def _unit_box(column: str) -> QComboBox:
    box = QComboBox(accessibleName=f"Unit of {NAMES[column]}")
    box.addItems(unit_choices(column))
    return box


def _preview(table: Table) -> QTableWidget:
    rows = table.rows[:_PREVIEW_ROWS]
    shown = QTableWidget(len(rows), len(table.header.cells), accessibleName="First rows of the sheet")
    shown.setHorizontalHeaderLabels(list(table.header.cells))
    shown.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    shown.verticalHeader().hide()
    for number, row in enumerate(rows):
        for place, cell in enumerate(row.cells[: len(table.header.cells)]):
            shown.setItem(number, place, QTableWidgetItem(cell))
    shown.horizontalHeader().setMaximumSectionSize(_WIDEST_PX)
    shown.resizeColumnsToContents()
    return shown
