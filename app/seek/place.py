"""The board's place in the window: strips for finding and filtering over it, the overview under it."""

from __future__ import annotations

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.board.overview import Overview
from app.board.view import BoardView
from app.seek.filter_bar import FilterBar
from app.seek.find_bar import FindBar

_LEAST_PX = 480
"""A place lower than this leaves its height to the rows, without the overview."""


class BoardPlace(QWidget):
    """Holds one board at a time."""

    find: FindBar  # type: ignore[assignment]  # Qt's own method of this name is not used here

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.find = FindBar()
        self.filter = FilterBar()
        self.board: BoardView | None = None
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(0)
        self._layout.addWidget(self.find)
        self._layout.addWidget(self.filter)
        self.overview = Overview()
        self._layout.addWidget(self.overview)

    def set_board(self, board: BoardView) -> None:
        """Show another board in the place of the old one."""
        old, self.board = self.board, board
        if old is not None:
            self._layout.removeWidget(old)
            old.deleteLater()
        self._layout.insertWidget(self._layout.indexOf(self.overview), board, 1)
        self.overview.set_board(board)
        self._fit()
        self.find.hide()
        self.filter.hide()

    def show_strip(self, strip: QWidget) -> None:
        """Show a strip over all else."""
        self._layout.insertWidget(0, strip)
        strip.show()

    def drop_strip(self, strip: QWidget) -> None:
        """Take a strip away."""
        self._layout.removeWidget(strip)
        strip.hide()
        strip.deleteLater()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Give the overview less height where the board has little."""
        self.overview.setFixedHeight(self.overview.height_for(self.height()))
        scale = self.board.enlarged if self.board is not None else 1.0
        self.overview.setVisible(self.height() >= _LEAST_PX * scale)
