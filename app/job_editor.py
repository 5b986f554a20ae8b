"""Changes of the job itself from the window: its text is changed, read again, and the standing plan audited on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from app.session import Session, with_text
from app.tasks import Asker
from planner.errors import Fault, JobFileError
from planner.jobfile.tables import TomlPath
from planner.jobfile.write import changed_text

if TYPE_CHECKING:
    from app.window import MainWindow

_MOST_TRIES = 5


@dataclass(frozen=True)
class Wanted:
    """A change that was asked for: words for undo, values by path, and whether another tells if it is refused."""

    words: str
    changes: Mapping[TomlPath, Any]
    quiet: bool = False


class JobEditor(QObject):
    """Makes each change a step of undo; the file on disk changes only when the job is saved.

    Where the plan gives way to another meanwhile, as after a move by hand, the change is made under that one.
    Changes asked for while one is being worked out wait their turn. One that the job can't take is told with all
    its faults, and nothing is changed by it.
    """

    refused = Signal(object, object)
    """The exception with which a change was refused, and the changes."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._waiting: list[Wanted] = []
        self._told: str = ""
        self._wanted, self._before = Wanted("", {}), window.session
        self._tries = 0
        self.asker = Asker(self)
        self.asker.answered.connect(self._changed)
        self.asker.failed.connect(self._failed)

    @property
    def busy(self) -> bool:
        """Whether a change is being worked out."""
        return self.asker.busy

    def change(self, words: str, changes: Mapping[TomlPath, Any], quiet: bool = False) -> None:
        """Change the open job by path, as `changed_text` does; `words` name the step for undo.

        quiet: whoever asks tells of a refusal at the field that it is about.
        """
        self._waiting.append(Wanted(words, changes, quiet))
        if not self.asker.busy:
            self._next()

    def forget(self) -> None:
        """Drop what is on its way, because another job takes its place."""
        self._waiting.clear()
        self.asker.forget()

    def close(self) -> None:
        """End everything; the window shuts."""
        self._waiting.clear()
        self.asker.close()

    def _next(self) -> None:
        session = self._window.session
        if not self._waiting or session is None:
            self._waiting.clear()
            return
        self._wanted, self._before = self._waiting.pop(0), session
        changes = self._wanted.changes
        self.asker.ask(lambda: with_text(session, changed_text(session.loaded.text, changes)))

    def _changed(self, session: Session) -> None:
        now = self._window.session
        if now is self._before:
            self._tries = 0
            self._take_back()
            self._window.take_step(self._wanted.words, session)
        elif self._is_same_job(now) and self._tries < _MOST_TRIES:
            self._tries += 1  # only the plan is another one: the same change is made under it
            self._waiting.insert(0, self._wanted)
        else:
            self._tries = 0
            self._window.tell(f"Not done: {self._wanted.words}. The plan changed meanwhile; do it again.")
        self._next()

    def _is_same_job(self, now: Session | None) -> bool:
        """Say whether the job stands as it did when the change was begun, whatever its plan is."""
        return now is not None and self._before is not None and now.loaded is self._before.loaded

    def _failed(self, error: Exception) -> None:
        """Tell of a refusal, and go on: what waits was asked for by itself."""
        wanted = self._wanted
        if not wanted.quiet:
            lines = [_words(fault) for fault in error.faults] if isinstance(error, JobFileError) else [str(error)]
            self._window.banner.say([f"Not done: {wanted.words}.", *lines])
            self._told = self._window.banner.text()
        self.refused.emit(error, wanted.changes)
        if not self.asker.busy:
            self._next()

    def _take_back(self) -> None:
        """Put away what was told of a change refused before; something else that is told there stays."""
        if self._told and self._window.banner.text() == self._told:
            self._window.banner.hide()
        self._told = ""


def _words(fault: Fault) -> str:
    """Return a fault without its line: that of a text which no file holds."""
    return f"{fault.path}: found {fault.found}; allowed: {fault.allowed}. {fault.hint}".rstrip()
