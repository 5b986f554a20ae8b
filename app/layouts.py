"""How the parts of views stand: a bar of controls on top, parts beside and over each other without gaps."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QLabel, QLayout, QSplitter, QTableWidget, QVBoxLayout, QWidget

from app.wrapped_cells import WrappedCells

ACROSS, DOWN = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
EDGE_PX = 14
"""Where words begin at the left edge of a view or a panel [px]; a page of words has a line of 1 px round it."""


def parted(
    orientation: Qt.Orientation, parts: Sequence[QWidget], sizes_px: Sequence[int] = (), grows: int | None = None
) -> QSplitter:
    """Return parts in a row that the user can widen at each other's cost, none to nothing; `grows` takes new room."""
    made = QSplitter(orientation)
    for part in parts:
        made.addWidget(part)
    if grows is not None:
        made.setStretchFactor(grows, 1)
    if sizes_px:
        # Before it is seen it would have some size of its own, and squeeze its parts into that.
        across = orientation is ACROSS
        made.resize(sum(sizes_px) if across else made.width(), made.height() if across else sum(sizes_px))
        made.setSizes(list(sizes_px))
    made.setChildrenCollapsible(False)
    made.setHandleWidth(1)
    return made


def stack_up(view: QWidget, *parts: QWidget, grows: QWidget) -> QVBoxLayout:
    """Lay `parts` under each other to the view's edges, at their own heights but for the one that `grows`."""
    layout = QVBoxLayout(view)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for part in parts:
        layout.addWidget(part, 1 if part is grows else 0)
    return layout


def fill_bar(bar: QWidget, row: QLayout, *lines: QWidget, foot_px: int = 6) -> None:
    """Lay a view's bar out: a row of controls, under it lines of words."""
    layout = QVBoxLayout(bar)
    layout.setContentsMargins(EDGE_PX, 7, EDGE_PX, foot_px)
    layout.setSpacing(3)
    layout.addLayout(row)
    for line in lines:
        layout.addWidget(line)


def label_of(field: QWidget, words: str) -> QLabel:
    """Return the quiet label of a field; the key marked by & in `words` leads to the field."""
    label = QLabel(words, objectName="quiet")
    label.setBuddy(field)
    return label


def show_as_rows(table: QTableWidget, heads: Sequence[str]) -> QHeaderView:
    """Let a table show whole rows to be chosen and read, one at a time; return its heading."""
    table.setHorizontalHeaderLabels(list(heads))
    table.verticalHeader().hide()
    table.setAlternatingRowColors(True)
    table.setShowGrid(False)
    table.setWordWrap(True)
    table.setItemDelegate(WrappedCells(table))
    table.setTabKeyNavigation(False)
    table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
    table.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
    table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
    header = table.horizontalHeader()
    header.setHighlightSections(False)
    header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    return header
