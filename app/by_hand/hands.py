"""What can be done to the bars chosen on the board, from its keys, its menu and the details panel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu

from app.board.view import BoardView
from app.by_hand.pins import turned_pins, unpins
from app.session import Session

if TYPE_CHECKING:
    from app.window import MainWindow


class Hands(QObject):
    """Acts on the bars chosen on the window's board; each act is one step of undo."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        window.details.pin.clicked.connect(self.turn_pin)
        window.details.more.clicked.connect(self._menu_of_details)

    def attach(self, board: BoardView) -> None:
        """Listen to a new board."""
        board.selected.connect(self._window.findings.select)
        self._window.findings.select("")
        board.pin_wanted.connect(self.turn_pin)
        board.menu_wanted.connect(self.open_menu)

    @property
    def keys(self) -> tuple[str, ...]:
        """The operations chosen on the board, each once; none while nothing may be changed."""
        board = self._window.board
        if board is None or not board.movable:
            return ()
        return tuple(dict.fromkeys(key for key, _ in board.chosen))

    def enable(self) -> None:
        """Allow what can be done now."""
        session, keys = self._window.session, self.keys
        details = self._window.details
        details.pin.setEnabled(bool(keys))
        details.more.setEnabled(bool(keys))
        details.pin.setText("Unpin" if session is not None and unpins(session, keys) else "Pin here")

    def turn_pin(self) -> None:
        """Pin what is chosen where it stands; take the pins off where all of it is pinned there already."""
        session, keys = self._window.session, self.keys
        if session is None or not keys:
            return
        words = f"{'unpinning' if unpins(session, keys) else 'pinning'} of {_named(session, keys)}"
        try:
            changes = turned_pins(session, keys)
        except ValueError as error:
            self._window.tell(f"Not pinned: {error}.")
            return
        if changes:
            self._window.editor.change(words, changes)

    def open_menu(self, at: QPoint) -> None:
        """Offer at a point of the screen what can be done with the bars chosen."""
        menu = self.make_menu()
        if menu.actions():
            menu.popup(at)
        else:
            menu.deleteLater()

    def make_menu(self) -> QMenu:
        """Return the menu of the bars chosen; it goes when it is closed."""
        menu = QMenu(self._window)
        menu.aboutToHide.connect(menu.deleteLater)
        session, keys = self._window.session, self.keys
        if session is None or not keys:
            return menu
        words = "Unpin" if unpins(session, keys) else "Pin here"
        menu.addAction(f"{words}\tP").triggered.connect(self.turn_pin)
        return menu

    def _menu_of_details(self) -> None:
        button = self._window.details.more
        self.open_menu(button.mapToGlobal(QPoint(0, button.height())))


def _named(session: Session, keys: tuple[str, ...]) -> str:
    """Return the name of the one operation, or how many there are."""
    operation = session.operation(keys[0])
    if len(keys) > 1:
        return f"{len(keys)} operations"
    return operation.name if operation else keys[0]
