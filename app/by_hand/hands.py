"""What can be done to the bars chosen on the board, from its keys, its menu and the details panel."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QMenu

from app.board.view import BoardView
from app.by_hand.edits import by_hand, joined, split
from app.by_hand.offers import Effect
from app.by_hand.offers_dialog import OffersDialog
from app.by_hand.pins import turned_pins, unpins
from app.by_hand.stood import Stood
from app.hand_moves import visit_of
from app.session import Session
from app.tasks import Asker
from planner.model import Plan

if TYPE_CHECKING:
    from app.window import MainWindow


class Hands(QObject):
    """Acts on the bars chosen on the window's board; each act is one step of undo."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.stood = Stood(window)
        self.asker = Asker(self)
        self.asker.answered.connect(self._take_step)
        self.asker.failed.connect(lambda error: window.tell(f"Not done: {error}."))
        window.details.pin.clicked.connect(self.turn_pin)
        window.findings.mend.clicked.connect(window.runs.mend)
        window.details.more.clicked.connect(self._menu_of_details)

    def attach(self, board: BoardView) -> None:
        """Listen to a new board."""
        self.asker.forget()
        self._window.mover.attach(board)
        self.stood.attach(board)
        board.selected.connect(self._window.findings.select)
        self._window.findings.select("")
        board.chose.connect(self.enable)
        board.pin_wanted.connect(self.turn_pin)
        board.menu_wanted.connect(self.open_menu)
        board.offers_wanted.connect(self.show_offers)

    def close(self) -> None:
        """End everything; the window shuts."""
        self.asker.close()
        self.stood.close()
        self._window.mover.close()

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
        self._window.findings.mend.setEnabled(self._window.board is not None and self._window.board.movable)
        many = f" {len(keys)}" if len(keys) > 1 else ""
        unpin = session is not None and unpins(session, keys)
        details.pin.setText(f"Unpin{many}" if unpin else f"Pin{many} here")

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

    def show_offers(self) -> None:
        """Offer other gangs and ways for the operation chosen."""
        window, keys = self._window, self.keys
        if window.session is None or not keys:
            return
        dialog = OffersDialog(window.session, keys[0], window.kit.theme, window)
        before = window.session
        dialog.taken.connect(lambda one: self._take_effect(before, one))
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def split(self) -> None:
        """Cut the visit chosen into two halves."""
        self._change("splitting of", split)

    def join(self) -> None:
        """Make the visit chosen and the next one of its operation one."""
        self._change("joining of", joined)

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
        if len(self._window.board.chosen if self._window.board else ()) == 1:
            menu.addAction("Another gang or way …\tC").triggered.connect(self.show_offers)
            menu.addSeparator()
            menu.addAction("Split this visit in two").triggered.connect(self.split)
            join = menu.addAction("Join it with the next visit")
            join.triggered.connect(self.join)
            join.setEnabled(self._has_next())
        return menu

    def _has_next(self) -> bool:
        board, session = self._window.board, self._window.session
        if board is None or session is None or len(board.chosen) != 1:
            return False
        key, number = board.chosen[0]
        return visit_of(session, key, number + 1) is not None

    def _change(self, doing: str, change: Callable[[Session, str, int], Plan]) -> None:
        """Change the visit chosen, off the window's thread."""
        board, session = self._window.board, self._window.session
        if board is None or session is None or not self.keys or len(board.chosen) != 1:
            return
        (key, number), words = board.chosen[0], f"{doing} {_named(session, self.keys)}"
        self.asker.ask(lambda: (words, session, by_hand(session, change(session, key, number), key)))

    def _take_step(self, made: tuple[str, Session, Session]) -> None:
        words, before, after = made
        if before is self._window.session:
            self._window.take_step(words, after)
        else:
            self._window.tell(f"Not done: {words}. The plan changed meanwhile; do it again.")

    def _take_effect(self, before: Session, one: Effect) -> None:
        what = "another gang for" if one.offer.gang is not None else "another way of doing"
        self._take_step((f"{what} {_named(before, (one.offer.key,))}", before, one.session))

    def _menu_of_details(self) -> None:
        button = self._window.details.more
        self.open_menu(button.mapToGlobal(QPoint(0, button.height())))


def _named(session: Session, keys: tuple[str, ...]) -> str:
    """Return the name of the one operation, or how many there are."""
    operation = session.operation(keys[0])
    if len(keys) > 1:
        return f"{len(keys)} operations"
    return operation.name if operation else keys[0]
