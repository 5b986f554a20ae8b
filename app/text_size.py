"""The size of all words in the window, from the desk to the tablet in a gloved hand."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QSplitter, QTableView, QWidget

FONT_PX = 12.5
"""Height of the letters of normal text [px]."""
_ROW_ROOM_PX = 6
_PANEL_SHARE, _PANELS_SHARE = 0.3, 0.46
_ROWS_MEASURED, _CELLS_MEASURED = 100, 6


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


class ColumnFitter(QObject):
    """Keeps a table's columns as wide as their words, until the user drags one.

    least_px: the columns that give way where the table would be wider than its room, and down to how many pixels.
    """

    def __init__(self, table: QTableView, least_px: Mapping[int, int]) -> None:
        super().__init__(table)
        self._table, self._least, self._by_hand, self._sharing = table, dict(least_px), False, False
        self._wanted: dict[int, int] = {}
        table.horizontalHeader().sectionResized.connect(self._resized)
        table.model().modelReset.connect(self.fit)
        table.model().dataChanged.connect(self.fit)
        table.viewport().installEventFilter(self)

    def fit(self) -> None:
        """Measure the words, and share the room; while the table is hidden, when it is seen again."""
        table, header = self._table, self._table.horizontalHeader()
        self._wanted = {}
        if table.isVisible():
            hints = ((number, header.sectionSizeHint(number)) for number in range(header.count()))
            self._wanted = {number: max(hint, self._words_px(number) + 1) for number, hint in hints}
            self._share()

    def _words_px(self, column: int) -> int:
        """Return the width that the words of a column need, of the rows in view and some more [px].

        Only the longest are measured as they are drawn, since Qt asks seven things of each cell that it measures.
        """
        table, model = self._table, self._table.model()
        first = max(0, table.rowAt(0))
        cells = (model.index(row, column) for row in range(first, min(model.rowCount(), first + _ROWS_MEASURED)))
        alike = {str(cell.data() or ""): cell for cell in cells}
        longest = sorted(alike, key=table.fontMetrics().horizontalAdvance, reverse=True)[:_CELLS_MEASURED]
        return max((table.sizeHintForIndex(alike[words]).width() for words in longest), default=0)

    def _share(self) -> None:
        """Give every column its width; those that may give way do so as far as there is too little room."""
        table, header, wanted = self._table, self._table.horizontalHeader(), self._wanted
        if self._by_hand:
            return
        least = {n: max(header.sectionSizeHint(n), larger(table, pixels)) for n, pixels in self._least.items()}
        spare = {n: max(0, wanted[n] - pixels) for n, pixels in least.items()}
        over = min(max(0, sum(wanted.values()) - table.viewport().width()), sum(spare.values()))
        self._sharing = True
        for number in reversed(range(header.count())):  # the last first: it is stretched when others are sized
            give = round(spare.get(number, 0) * over / sum(spare.values())) if over else 0
            header.resizeSection(number, wanted[number] - give)
        self._sharing = False

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Show):
            (self._share if self._wanted else self.fit)()
        return super().eventFilter(watched, event)

    def _resized(self, *_sizes: int) -> None:
        pressed = QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton
        self._by_hand = self._by_hand or (pressed and not self._sharing)


def fit_parts(top: QWidget, grown: float) -> None:
    """Let the rows of all tables and the handles between panels fit the size of text; `grown`: against before."""
    for table in top.findChildren(QTableView):
        rows = table.verticalHeader()
        rows.setMinimumSectionSize(1)
        rows.setDefaultSectionSize(table.fontMetrics().height() + larger(table, _ROW_ROOM_PX))
        table.horizontalHeader().setFont(table.font())
        _fit_columns(table, grown)
        if table.wordWrap():
            table.resizeRowsToContents()
    for splitter in (*([top] if isinstance(top, QSplitter) else []), *top.findChildren(QSplitter)):
        splitter.setHandleWidth(larger(splitter, 4) - 3)
        _fit_panels(splitter, grown)
    for view in top.findChildren(QAbstractItemView):
        view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)


def _fit_panels(splitter: QSplitter, grown: float) -> None:
    """Let panels of words that stand beside what grows with the window grow with their words, to a part of it."""
    sizes = splitter.sizes()
    panels = (splitter.widget(number) for number in range(len(sizes)))
    stretches = [panel is not None and panel.sizePolicy().horizontalStretch() > 0 for panel in panels]
    if grown == 1 or splitter.orientation() is not Qt.Orientation.Horizontal or not any(stretches) or not sum(sizes):
        return
    most = round(min(_PANEL_SHARE, _PANELS_SHARE / max(1, stretches.count(False))) * splitter.width())
    grown_px = [min(round(size * grown), max(size, most)) for size in sizes]
    left = sum(sizes) - sum(size for size, grows in zip(grown_px, stretches, strict=True) if not grows)
    share = max(1, left // sum(stretches))
    splitter.setSizes([share if grows else size for size, grows in zip(grown_px, stretches, strict=True)])


def _fit_columns(table: QTableView, grown: float) -> None:
    header = table.horizontalHeader()
    fitter = table.findChild(ColumnFitter)
    if fitter is not None:
        fitter.fit()
        return
    for number in range(header.count() if grown != 1 else 0):
        if header.sectionResizeMode(number) is QHeaderView.ResizeMode.Interactive:
            wide = round(table.columnWidth(number) * grown)
            table.setColumnWidth(number, max(wide, header.sectionSizeHint(number)))
