"""A bar that offers another forecast under the plan, or the one there as the job's; each is a step of undo."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.session import Session
from app.tasks import Asker
from planner.errors import JobFileError

if TYPE_CHECKING:
    from app.window import MainWindow


class ForecastOffer(QObject):
    """Looks at every step whether its bar is due; what takes a while is made off the window's thread."""

    failed_words = ""
    late_words = ""
    """What is said where nothing came of it, and where the plan changed meanwhile."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._before: Session | None = None
        self.asker = Asker(self)
        self.asker.answered.connect(self._answered)
        self.asker.failed.connect(self._failed)
        window.mover.stack.indexChanged.connect(lambda _index: self.look())

    def begin(self) -> None:
        """Take it that another job was opened."""
        self.asker.forget()
        self.let_all()
        self.look()

    def let_all(self) -> None:
        """Forget what was not to be offered any more."""

    def look(self) -> None:
        """Show the bar, or take it away, by what is under the plan now."""

    def taken(self, session: Session) -> None:
        """Take the session that was made as a step."""

    def ask(self, before: Session, make: Callable[[], Session]) -> None:
        """Have a session made from `before` off the window's thread."""
        self._before = before
        self.asker.ask(make)

    def look_again(self) -> None:
        """Look again after nothing came of it."""
        self.look()

    def _answered(self, session: Session) -> None:
        before, self._before = self._before, None
        if self._window.session is before:
            self.taken(session)
            return
        self._window.tell(self.late_words)
        self.look_again()

    def _failed(self, error: Exception) -> None:
        lines = [fault.found for fault in error.faults] if isinstance(error, JobFileError) else [str(error)]
        self._window.banner.say([self.failed_words, *lines])
        self.look_again()
