"""Opening a job: what would be lost is asked about first, then the file is read off the window's thread."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from app.recovery import taken_up
from app.remembered import keep_look
from app.session import Session, open_session, with_last_issue
from app.site_record.footing import reopened_words
from app.tasks import Asker
from app.unsaved_store import Found

if TYPE_CHECKING:
    from app.window import MainWindow


@dataclass(frozen=True)
class Opened:
    """A job that was read, what its file holds, and what it was taken up from."""

    session: Session
    saved_text: str
    taken: Found | None = None


class Opening(QObject):
    """Shows the board of a job when it is read, or all the faults of its file."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.path: Path | None = None
        self.asker = Asker(self)
        self.asker.answered.connect(self._opened)
        self.asker.failed.connect(self._failed)

    @property
    def folder(self) -> str:
        """Where file dialogs begin: beside the open job."""
        return str(self.path.parent) if self.path is not None else ""

    def choose(self) -> None:
        """Let the user choose a job file."""
        name, _ = QFileDialog.getOpenFileName(self._window, "Open a job", self.folder, "Jobs (*.toml);;All files (*)")
        if name:
            self.open(Path(name))

    def again(self) -> None:
        """Read the open job's file again."""
        if self.path is not None:
            self.open(self.path)

    def open(self, path: Path | str) -> None:
        """Read a job, unless the user would rather stay with what is not saved."""
        if self._window.leaving.may_leave():
            where = Path(path)
            self._wait_for(where)
            self.asker.ask(lambda: _read(where))

    def take_up(self, found: Found) -> None:
        """Open what a window that died has left, with its plan."""
        if self._window.leaving.may_leave():
            self._wait_for(Path(found.unsaved.path))
            self.asker.ask(lambda: Opened(taken_up(found.unsaved), found.unsaved.saved_text, found))

    def close(self) -> None:
        """End everything; the window shuts."""
        self.asker.close()

    def _wait_for(self, path: Path) -> None:
        window, self.path = self._window, path
        keep_look(window)
        window.planning.drop()
        window.editor.forget()
        window.recovery.end()
        window.outside.end()
        window.read_only.end()
        window.banner.hide()
        window.notices.clear()
        window.wait.show_path(path)
        window.stack.setCurrentWidget(window.wait)
        window.setWindowModified(False)
        window.setWindowTitle(path.name)
        window.header.job.setText(path.name)
        window.header.status.setText("Reading …")
        window.enable()

    def _opened(self, opened: Opened) -> None:
        window, session = self._window, opened.session
        path = session.loaded.path
        window.settings.remember(str(path.resolve()))
        window.recovery.begin(path, opened.taken)
        window.show_job(session, opened.saved_text)
        window.read_only.begin(path)
        window.outside.begin(session)
        if opened.taken is not None and opened.taken.unsaved.tried:
            window.weather.bringing.read_again(opened.taken.unsaved.tried)
        window.own_forecast.begin()
        window.issue_forecast.begin()
        window.enable()
        window.offers.look(path)
        told = reopened_words(session)
        if told:
            window.notices.say("record", told)
        if session.plan is None:
            window.plan()
            return
        window.say_plan()
        window.by_the_clock.look()
        window.enable()
        if opened.taken is None:
            window.tell("The programme issued last, checked on the job's forecast; F5 plans anew")

    def _failed(self, error: Exception) -> None:
        window = self._window
        window.session = None
        window.faults.show_error(error, self.path or Path())
        window.header.status.setText("Not opened")
        window.forecast.setText("")
        window.enable()
        window.stack.setCurrentWidget(window.faults)


def _read(path: Path) -> Opened:
    session = with_last_issue(open_session(path))
    return Opened(session, session.loaded.text)
