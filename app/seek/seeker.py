"""Ties the strips for finding and filtering to the window's board."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt

from app.board.filters import NO_FILTER, Filter
from app.board.view import BoardView
from app.seek.find import index
from app.session import Session

if TYPE_CHECKING:
    from app.window import MainWindow


class Seeker(QObject):
    """Looks for text and filters rows on the board of a window."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._indexed: Session | None = None
        place = window.place
        place.find.wanted.connect(self._go)
        place.find.closed.connect(self._to_board)
        place.filter.chosen.connect(self._filter)
        place.filter.closed.connect(self._to_board)

    def attach(self, board: BoardView) -> None:
        """Listen to a new board."""
        self._indexed = None
        self._window.place.filter.show_facts(board.whole)
        self._window.place.filter.clear_filter()
        board.selected.connect(self._window.place.find.select)
        board.all_wanted.connect(self._window.place.filter.clear_filter)
        board.facts_changed.connect(self._renew)

    def find(self) -> None:
        """Let the user look for text: in the view that is shown, where it has a field for that, else on the board."""
        if self._window.session is None:
            return
        page = self._window.pages.get(self._window.views.current)
        if page is not None and page.look_for_text():
            return
        self._window.views.show("board")
        self._window.place.find.open_bar()
        self._renew()

    def go(self, forward: bool) -> None:
        """Go to the next match or the one before; where nothing is looked for yet, ask."""
        find = self._window.place.find
        if not find.field.text().strip():
            self.find()
            return
        self._renew()
        find.go(forward)

    def choose_filter(self) -> None:
        """Let the user choose what is left out on the board."""
        if self._window.session is not None:
            self._window.views.show("board")
            self._window.place.filter.open_bar()

    def _renew(self) -> None:
        """Look in what the window shows now, once somebody looks for something."""
        session, place = self._window.session, self._window.place
        if session is not None and session is not self._indexed and not place.find.isHidden():
            self._indexed = session
            place.find.show_entries(index(session))
        if self._window.board is not None and not place.filter.isHidden():
            place.filter.show_facts(self._window.board.whole)

    def _go(self, key: str) -> None:
        if self._window.board is not None:
            self._window.board.go_to(key)

    def _filter(self, asked: Filter) -> None:
        if self._window.board is not None:
            self._window.board.set_filter(asked)
            if asked == NO_FILTER:
                return
            self._window.place.filter.show()

    def _to_board(self) -> None:
        board = self._window.board
        if board is not None and board.isVisible():
            board.setFocus(Qt.FocusReason.OtherFocusReason)
