"""What windows that died have left is offered in a bar: to be taken up again, or left."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.recovery import find_left, put_aside
from app.tasks import Asker
from app.unsaved_store import Found

if TYPE_CHECKING:
    from app.window import MainWindow

_NAME = "left"


class Offers(QObject):
    """Looks off the window's thread; the newest is offered first, the next when that one is dealt with."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.asker = Asker(self)
        self.asker.answered.connect(self._show)

    def look(self, job: Path | None = None) -> None:
        """Offer what was left of a job, or of any."""
        self.asker.ask(lambda: find_left(job))

    def _show(self, found: tuple[Found, ...]) -> None:
        if not found:
            return
        first, rest = found[0], found[1:]
        more = f" (and {len(rest)} more)" if rest else ""
        name = first.unsaved.name or Path(first.unsaved.path).name
        self._window.notices.say(
            _NAME,
            f"Liftgap ended while “{name}” was open. What you had at {first.unsaved.when} was kept{more}.",
            (
                ("Take it up again", "Open the job as it was, with its plan", lambda: self._take(first)),
                ("Leave it", "Go on without; it is put aside", lambda: self._leave(first, rest)),
            ),
        )

    def _take(self, found: Found) -> None:
        self._window.opening.take_up(found)

    def _leave(self, found: Found, rest: tuple[Found, ...]) -> None:
        put_aside(found)
        self._show(rest)
