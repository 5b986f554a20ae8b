"""Unsaved work outlives a crash: written off the window's thread soon after a change, offered when it is found."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QLockFile, QObject, QStandardPaths, QTimer

from app.session import Session, open_session, with_placed
from app.settings import APPLICATION
from app.tasks import Asker
from app.unsaved_store import Found, Unsaved, file_name, is_of, leave, read, write
from app.weather.files import csv_bytes
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.weather.series import HourlySeries

if TYPE_CHECKING:
    from app.window import MainWindow

_WAIT_MS = 3000
_OWNERS = count(1)


class Recovery(QObject):
    """Keeps one file for the open job while its window lives; who finds it without its lock knows the window died."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._owner = f"{os.getpid()}-{next(_OWNERS)}"
        self._lock: QLockFile | None = None
        self._written: tuple[Session, HourlySeries | None] | None = None
        self._kept = False
        """Whether what is on disk is for the next start."""
        self.file: Path | None = None
        self.timer = QTimer(self, interval=_WAIT_MS, singleShot=True)
        self.timer.timeout.connect(self._write)
        self.asker = Asker(self)
        self.asker.failed.connect(self._failed)

    def begin(self, job: Path, taken: Found | None = None) -> None:
        """Keep the unsaved work on `job` from now on; taken: what another window left of it becomes ours."""
        self.end()
        self.file = unsaved_folder() / file_name(job, self._owner)
        if taken is not None:
            with suppress(OSError):
                self._hold(self.file)
                os.replace(taken.file, self.file)

    def note(self) -> None:
        """Take it that something changed."""
        if self.file is not None and self._window.session is not None and not self.timer.isActive():
            self._kept = False
            self.timer.start()

    def keep_now(self) -> None:
        """Write at once what would be lost if the window were shut; nothing is kept where nothing would be.

        What was kept stays on disk: this window looks after it no more, unless something changes in it.
        """
        window, session, file = self._window, self._window.session, self.file
        if session is None or file is None or not window.leaving.lost():
            return
        self.timer.stop()
        self.asker.close()
        with suppress(OSError):
            self._hold(file)
            kept = unsaved_of(session, window.saved_text, window.weather.changed)
            write(file, replace(kept, in_order=True))
            self._kept = True

    def end(self) -> None:
        """Throw away what was kept: the job was left, and nothing of it is wanted."""
        self.timer.stop()
        self.asker.close()
        if self.file is not None and not self._kept:
            with suppress(OSError):
                self.file.unlink(missing_ok=True)
        if self._lock is not None:
            self._lock.unlock()
        self.file = self._lock = self._written = None
        self._kept = False

    def _write(self) -> None:
        window, session, file = self._window, self._window.session, self.file
        if session is None or file is None:
            return
        tried, before = window.weather.changed, self._written
        if before is not None and before[0] is session and before[1] is tried:
            return
        if session.plan is None and not window.unsaved and tried is None and before is None:
            return
        self._written, saved_text = (session, tried), window.saved_text
        self.asker.ask(lambda: self._keep(file, session, saved_text, tried))

    def _keep(self, file: Path, session: Session, saved_text: str, tried: HourlySeries | None) -> None:
        self._hold(file)
        write(file, unsaved_of(session, saved_text, tried))

    def _hold(self, file: Path) -> None:
        """Hold the lock of the file that unsaved work goes into."""
        if self._lock is None:
            file.parent.mkdir(parents=True, exist_ok=True)
            self._lock = _lock_of(file)
            self._lock.tryLock(0)

    def _failed(self, error: Exception) -> None:
        self._window.tell(f"Unsaved work can't be kept safe from a crash: {error}")


def unsaved_folder() -> Path:
    """Return the folder of the user's unsaved work."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericDataLocation)
    return Path(place) / APPLICATION / "unsaved"


def find_left(job: Path | None = None) -> tuple[Found, ...]:
    """Return what windows that died have left, of one job or of all, the newest first. Takes a while."""
    files = sorted(unsaved_folder().glob("*.json"), key=_age, reverse=True)
    left = (file for file in files if (job is None or is_of(file, job)) and _is_left(file))
    pairs = ((file, read(file)) for file in left)
    return tuple(Found(file, unsaved) for file, unsaved in pairs if unsaved is not None)


def put_aside(found: Found) -> None:
    """Put what was found where it is not offered again."""
    with suppress(OSError):
        leave(found.file)


def unsaved_of(session: Session, saved_text: str, tried: HourlySeries | None = None) -> Unsaved:
    """Return what is to be kept of a session. tried: the forecast changed by hand in the weather view."""
    loaded, plan = session.loaded, session.plan
    return Unsaved(
        path=str(loaded.path.resolve()),
        name=loaded.job.job.name,
        saved_text=saved_text,
        text=loaded.text,
        plan=None if plan is None else plan_to_dict(plan, loaded.job),
        by_hand=session.by_hand,
        taken=session.taken,
        weather=str(session.weather_file or ""),
        columns=session.columns,
        own_weather=session.own_weather,
        tried="" if tried is None else csv_bytes(tried).decode(),
        at=datetime.now().astimezone().isoformat(timespec="seconds"),
    )


def taken_up(unsaved: Unsaved) -> Session:
    """Return the session that was kept, audited anew; the planner's errors where it can't be. Takes a while."""
    weather = Path(unsaved.weather) if unsaved.weather else None
    opened = open_session(unsaved.path, weather, unsaved.text, unsaved.columns)
    session = replace(opened, own_weather=unsaved.own_weather)
    if unsaved.plan is None:
        return session
    plan = plan_from_dict(unsaved.plan, session.loaded.job)
    return replace(with_placed(session, plan), by_hand=unsaved.by_hand, taken=unsaved.taken)


def _lock_of(file: Path) -> QLockFile:
    lock = QLockFile(f"{file}.lock")
    lock.setStaleLockTime(0)
    return lock


def _is_left(file: Path) -> bool:
    """Say whether the window that kept a file is gone; a lock whose process is dead can be had."""
    lock = _lock_of(file)
    if not lock.tryLock(0):
        return False
    lock.unlock()
    return True


def _age(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0
