"""Another plan looked at on the board without being taken: the job stays as it is until somebody says Take it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent

from app.board.view import BoardView
from app.notices import Notice
from app.session import Session
from app.status_words import forecast_words, plan_words
from planner.model import Plan

if TYPE_CHECKING:
    from app.window import MainWindow


class Looking(QObject):
    """Shows a session on the board under a strip that says so; a change of the job, or another view, ends it."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._take: Callable[[], object] = _nothing
        self.shown: Session | None = None
        self.strip: Notice | None = None

    @property
    def seen(self) -> Session | None:
        """The session on the board: the one looked at, else the open job's."""
        return self.shown or self._window.session

    def begin(self, words: str, session: Session, take: Callable[[], object]) -> None:
        """Show `session`, called `words`, on the board, with outlines of where the work stands; `take` takes it."""
        window, board = self._window, self._window.board
        standing = window.session
        if board is None or standing is None:
            return
        self.forget()
        self.shown, self._take = session, take
        choices = (
            ("&Take it", "Put this plan in the place of the open one, as a step of undo", self._taken),
            ("&Back", "Show the open plan again; nothing was changed (Esc)", self.end),
        )
        self.strip = Notice(
            f"You are looking at: {words}. It is not taken: the open plan is as it was, its work outlined.", choices
        )
        window.place.show_strip(self.strip)
        window.views.show("board")
        window.stack.currentChanged.connect(self.end)
        for part in (board, window.split):
            part.installEventFilter(self)
        board.set_facts(session.facts)
        board.set_ghosts(standing.plan.placements if standing.plan is not None else None)
        _go_to_first_change(board, standing.plan, session.plan)
        window.findings.show_session(session)
        window.details.show_operation(session, board.look.selected)
        window.header.status.setText(f"Looking at: {plan_words(session)}")
        window.forecast.setText(forecast_words(session))
        window.tell("Not taken yet: the strip over the board takes it, or goes back")
        window.enable()

    def end(self) -> None:
        """Show the open plan again."""
        window, session = self._window, self._window.session
        if self.shown is None or session is None:
            return
        self.forget()
        window.take(session)
        window.forecast.setText(forecast_words(session))
        window.say_plan()
        window.tell("Nothing was taken; the plan on the board is the one that was open")

    def forget(self) -> None:
        """Look at nothing any more; what the board shows next is the open job's."""
        if self.shown is None:
            return
        self.shown, self._take = None, _nothing
        self._window.stack.currentChanged.disconnect(self.end)
        for part in (self._window.board, self._window.split):
            if part is not None:
                part.removeEventFilter(self)
        if self.strip is not None:
            self._window.place.drop_strip(self.strip)
            self.strip = None
        if self._window.board is not None:
            self._window.board.set_ghosts(None)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Esc go back: on the board, unless it ends a frame there, and beside it where nobody else takes it."""
        board, pressed = self._window.board, event.type() is QEvent.Type.KeyPress
        escape = pressed and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        if escape and board is not None and board.look.band is None:
            self.end()
            return True
        return super().eventFilter(watched, event)

    def _taken(self) -> None:
        take = self._take
        self.end()
        take()


def _go_to_first_change(board: BoardView, old: Plan | None, new: Plan | None) -> None:
    """Bring the first work that stands otherwise into view; the board may be weeks before it."""
    if old is None or new is None:
        return
    changed = set(new.placements) - set(old.placements)
    if changed:
        first = min(changed, key=lambda one: (one.start, one.operation))
        board.go_to(first.operation, first.start)


def _nothing() -> None:
    """Take nothing."""
