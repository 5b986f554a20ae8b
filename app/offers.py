"""What windows that died or were told to end have left: offered in a bar over its job, listed on the welcome page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.recovery import find_left, put_aside
from app.tasks import Asker
from app.unsaved_store import Found
from planner.model import in_one_direction

if TYPE_CHECKING:
    from app.window import MainWindow

_NAME = "left"


class Offers(QObject):
    """Looks off the window's thread; over a job only what was left of it is offered, the newest first."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._job: Path | None = None
        self.asker = Asker(self)
        self.asker.answered.connect(self._show)
        window.welcome.left_wanted.connect(self._take)
        window.welcome.left_unwanted.connect(put_aside)
        window.mover.stack.indexChanged.connect(self._gone_on)

    def look(self, job: Path | None = None) -> None:
        """Offer what was left of a job; of none, list all that was left on the welcome page."""
        self._job = job
        self.asker.ask(lambda: find_left(job))

    def _show(self, found: tuple[Found, ...]) -> None:
        if self._job is None:
            self._window.welcome.show_left([(left_words(one), one) for one in found])
        elif found:
            self._offer(found[0], found[1:])

    def _offer(self, first: Found, rest: tuple[Found, ...]) -> None:
        older = f" It is the newest of {len(rest) + 1} of this job." if rest else ""
        self._window.notices.say(
            _NAME,
            f"{left_words(first)}{older}",
            (
                ("Take it up again", "Open the job as it was, with its plan", lambda: self._take(first)),
                ("Leave it", "Go on without; it is put aside", lambda: self._leave(first, rest)),
                ("Later", "Hide this; it is offered again when the job is opened next", lambda: None),
            ),
        )

    def _take(self, found: Found) -> None:
        self._window.opening.take_up(found)

    def _leave(self, found: Found, rest: tuple[Found, ...]) -> None:
        put_aside(found)
        if rest:
            self._offer(rest[0], rest[1:])

    def _gone_on(self, index: int) -> None:
        """Put the bar away: whoever changes the job goes on without; it is offered again next time."""
        if index > 0:
            self._window.notices.drop(_NAME)


def left_words(found: Found) -> str:
    """Return how it came about that something was left, and when it was kept."""
    unsaved = found.unsaved
    file = Path(unsaved.path)
    which = f"{_short(file.name, 80)} in {_short(str(file.parent), 80)}"
    name = f"“{in_one_direction(unsaved.name)[:120]}” ({which})" if unsaved.name else which
    if unsaved.in_order:
        return f"{name} was not saved when the machine told Liftgap to end; it was kept at {unsaved.when}."
    return f"Liftgap ended unexpectedly while {name} was open. What you had at {unsaved.when} was kept."


def _short(words: str, most: int) -> str:
    """Return words with their middle left out where they are long: both ends tell copies apart."""
    half = (most - 1) // 2
    return words if len(words) <= most else f"{words[:half]}…{words[-half:]}"
