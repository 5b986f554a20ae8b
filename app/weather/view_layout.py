"""Where the parts of the Weather view stand: what is told on top, chart over table, and beside them what breaks."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

_SIDE_PX = 316


def lay_out(view: QWidget, top: Sequence[QWidget], middle: Sequence[QWidget], side: QWidget) -> None:
    """Lay the parts of `view` out: `top` over each other at their own heights; the rest shares what is left."""
    over = QSplitter(Qt.Orientation.Vertical)
    for part in middle:
        over.addWidget(part)
    over.setSizes([420, 220])
    beside = QSplitter(Qt.Orientation.Horizontal)
    beside.addWidget(over)
    beside.addWidget(side)
    beside.setStretchFactor(0, 1)
    beside.setSizes([1050, _SIDE_PX])
    for splitter in (over, beside):
        splitter.setChildrenCollapsible(False)
        splitter.setHandleWidth(1)
    layout = QVBoxLayout(view)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for part in top:
        layout.addWidget(part)
    layout.addWidget(beside, 1)
