"""The size of all words in the window, from the desk to the tablet in a gloved hand."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QSplitter, QTableView, QWidget

FONT_PX = 12.5
"""Height of the letters of normal text [px]."""
_ROW_ROOM_PX = 6


class TextSize(StrEnum):
    """How large words are, and with them rows, buttons and everything else that is hit."""

    NORMAL = "normal"
    LARGE = "large"
    VERY_LARGE = "very large"

    @property
    def scale(self) -> float:
        """How many times as large as normal."""
        return {"normal": 1.0, "large": 1.24, "very large": 1.52}[self.value]


def larger(widget: QWidget, pixels: float) -> int:
    """Return a length that is right for normal text as it must be for the text of `widget` [px]."""
    return round(pixels * max(1.0, widget.font().pixelSize() / round(FONT_PX)))


def fit_parts(top: QWidget, grown: float) -> None:
    """Let the rows of all tables and the handles between panels fit the size of text; `grown`: against before."""
    for table in top.findChildren(QTableView):
        rows = table.verticalHeader()
        rows.setMinimumSectionSize(1)
        rows.setDefaultSectionSize(table.fontMetrics().height() + larger(table, _ROW_ROOM_PX))
        table.horizontalHeader().setFont(table.font())
        _fit_columns(table, grown)
    for splitter in top.findChildren(QSplitter):
        splitter.setHandleWidth(larger(splitter, 4) - 3)
    for view in top.findChildren(QAbstractItemView):
        view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)


def _fit_columns(table: QTableView, grown: float) -> None:
    header = table.horizontalHeader()
    for number in range(header.count() if grown != 1 else 0):
        if header.sectionResizeMode(number) is QHeaderView.ResizeMode.Interactive:
            table.setColumnWidth(number, round(table.columnWidth(number) * grown))
