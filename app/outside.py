"""Changes that somebody else makes to the open job's file, or its forecast's: told at once, used only if asked."""

from __future__ import annotations

import hashlib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer

from app.session import Session, on_another, open_session
from app.tasks import Asker
from planner.jobfile.load import forecast_path

if TYPE_CHECKING:
    from app.window import MainWindow

_SETTLE_MS = 250
_JOB, _FORECAST = "outside job", "outside forecast"


@dataclass(frozen=True)
class OnDisk:
    """What the files hold now: the job's bytes and the forecast's checksum; None where there is no such file."""

    job: bytes | None
    forecast: str | None


class Outside(QObject):
    """Watches the files, and looks again when the window is turned to, since not every folder tells of changes."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._forecast: str | None = None
        self._known: OnDisk | None = None
        self._paths: tuple[Path, Path | None] | None = None
        self._settle = QTimer(self, interval=_SETTLE_MS, singleShot=True)
        self._settle.timeout.connect(self.look)
        self._watcher = QFileSystemWatcher(self)
        self._watcher.fileChanged.connect(lambda _path: self._settle.start())
        self._watcher.directoryChanged.connect(lambda _path: self._settle.start())
        self.asker = Asker(self)
        self.asker.answered.connect(self._seen)
        self.reader = Asker(self)
        self.reader.answered.connect(self._reread)
        self.reader.failed.connect(self._not_reread)

    def begin(self, session: Session) -> None:
        """Watch the files of a job from now on."""
        self.end()
        path, loaded = session.loaded.path, session.loaded
        stands_in = session.weather_file is not None and not session.own_weather
        forecast = None if stands_in else forecast_path(loaded.job, path)
        self._paths = path, forecast
        folders = {str(one.parent.resolve()) for one in (path, forecast) if one is not None}
        files = {str(one.resolve()) for one in (path, forecast) if one is not None and one.is_file()}
        self._watcher.addPaths([*folders, *files])
        self.look()

    def end(self) -> None:
        """Watch no more."""
        self._settle.stop()
        self.asker.forget()
        self.reader.forget()
        watched = [*self._watcher.files(), *self._watcher.directories()]
        if watched:
            self._watcher.removePaths(watched)
        self._paths = self._forecast = self._known = None

    def close(self) -> None:
        """End everything; the window shuts."""
        self.end()
        for asker in (self.asker, self.reader):
            asker.close()

    def look(self) -> None:
        """Look, off the window's thread, whether the files are still what was read."""
        if self._paths is not None:
            job, forecast = self._paths
            self.asker.ask(lambda: OnDisk(_content(job), _checksum(forecast)))

    def _seen(self, now: OnDisk) -> None:
        window, paths = self._window, self._paths
        if paths is None or window.session is None:
            return
        for one in paths:
            if one is not None and one.is_file():
                self._watcher.addPath(str(one.resolve()))  # a file that was replaced is no longer watched
        before, self._known = self._known, now
        if before is None:
            self._forecast = now.forecast
        if now.job == window.saved_text.encode():
            window.notices.drop(_JOB)
        elif before is None or before.job != now.job:
            self._say_job(paths[0], now.job)
        if now.forecast == self._forecast:
            window.notices.drop(_FORECAST)
        elif (
            paths[1] is not None and now.forecast is not None and (before is None or before.forecast != now.forecast)
        ):
            self._say_forecast(paths[1], now.forecast)

    def _say_job(self, path: Path, disk: bytes | None) -> None:
        window = self._window
        elsewhere = (
            "Save mine elsewhere …",
            "Leave theirs as it is and go on in another file",
            window.saver.save_job_as,
        )
        if disk is None:
            words = f"{path.name} is no longer where it was. What you see here is not lost."
            window.notices.say(_JOB, words, (("Write it again", "Put the file back", self._write_again), elsewhere))
            return
        window.notices.say(
            _JOB,
            f"{path.name} was changed by somebody else since it was read here.",
            (
                ("Read it again", "Show theirs; what you changed is asked about first", window.opening.again),
                ("Keep mine", "Go on; saving writes over theirs", lambda: self._keep(disk)),
                elsewhere,
            ),
        )

    def _keep(self, disk: bytes) -> None:
        """Take what is on disk as what was read, so that saving may write over it."""
        try:
            self._window.note_saved(disk.decode())
        except UnicodeDecodeError:
            self._window.tell("What is there now is no text; save yours elsewhere")

    def _write_again(self) -> None:
        session = self._window.session
        if session is not None and self._window.saver.write_again(session):
            self._window.note_saved(session.loaded.text)

    def _say_forecast(self, path: Path, checksum: str) -> None:
        self._window.notices.say(
            _FORECAST,
            f"The job's forecast {path.name} was changed on disk since it was read here.",
            (
                ("Read it again", "Audit the plan on the new forecast; a step of undo", self._read_forecast),
                ("Keep mine", "Go on with the forecast as it was read", lambda: self._keep_forecast(checksum)),
            ),
        )

    def _keep_forecast(self, checksum: str | None) -> None:
        self._forecast = checksum

    def _read_forecast(self) -> None:
        session = self._window.session
        if session is not None:
            self._keep_forecast(self._known.forecast if self._known else None)
            self.reader.ask(lambda: (session, read_again(session)))

    def _reread(self, pair: tuple[Session, Session]) -> None:
        before, after = pair
        if before is self._window.session:
            self._window.take_step("forecast read again", after)
        else:
            self._window.tell("The plan changed meanwhile; read the forecast again")
            self._forecast = None
            self.look()

    def _not_reread(self, error: Exception) -> None:
        self._window.banner.say(["The new forecast can't be used; the old one stays.", str(error)])


def read_again(session: Session) -> Session:
    """Return the session on the forecast that its file holds now, its plan audited anew. Takes a while."""
    return on_another(open_session(session.loaded.path, None, session.loaded.text, session.columns), session)


def _content(path: Path) -> bytes | None:
    with suppress(OSError):
        return path.read_bytes()
    return None


def _checksum(path: Path | None) -> str | None:
    content = None if path is None else _content(path)
    return None if content is None else hashlib.sha256(content).hexdigest()
