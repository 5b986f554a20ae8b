"""Outlines on the board of where the work stood: before the last step, or as a programme was issued."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.board.view import BoardView
from app.moving import ShowSession
from planner.model import Plan

if TYPE_CHECKING:
    from app.window import MainWindow


class Stood(QObject):
    """Shows the outlines when asked, and keeps them until asked again."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._follows = False
        self._listens = True
        window.mover.stack.indexChanged.connect(self._stepped)

    def attach(self, board: BoardView) -> None:
        """Listen to a new board, which has no outlines."""
        self._follows = False
        board.stood_wanted.connect(self.turn)

    def close(self) -> None:
        """Follow no steps any more; the window shuts, and may do so twice."""
        if self._listens:
            self._listens = False
            self._window.mover.stack.indexChanged.disconnect(self._stepped)

    def turn(self) -> None:
        """Outline where the work stood before the last step, else in the last issue; or take the outlines away."""
        board = self._window.board
        if board is None:
            return
        if board.look.ghosts:
            self._follows = False
            board.set_ghosts(None)
            self._window.tell("No outlines any more.")
        elif not self._show_step(told=True) and not self._show_issue():
            self._window.tell("The work stands where it has stood: no step was made, and no programme was issued.")

    def _stepped(self, _index: int) -> None:
        """Follow the steps while their outlines are shown."""
        if self._follows and self._window.board is not None and not self._show_step():
            self._follows = False
            self._window.board.set_ghosts(None)

    def _show_step(self, told: bool = False) -> bool:
        stack = self._window.mover.stack
        command = stack.command(stack.index() - 1)
        if not isinstance(command, ShowSession) or command.before.plan is None:
            return False
        self._follows = True
        self._outline(command.before.plan, f"before the {command.text()}" if told else "")
        return True

    def _show_issue(self) -> bool:
        session = self._window.session
        issued = [one for one in session.issued if one.plan is not None] if session is not None else []
        if not issued or issued[-1].plan is None:
            return False
        self._outline(issued[-1].plan, f"in issue {issued[-1].issue.number}")
        return True

    def _outline(self, plan: Plan, when: str) -> None:
        if self._window.board is not None:
            self._window.board.set_ghosts(plan.placements)
            if when:
                self._window.tell(f"Outlined: where it stood {when}")
