"""One window at a time writes a job: a lock file beside it says who; everybody else may look, and save elsewhere."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QFileInfo, QLockFile


@dataclass(frozen=True)
class Holder:
    """Who has a job open: the owner of the lock file, the machine, and since when ("14:10", "24 Nov, 14:10")."""

    user: str
    machine: str
    since: str

    def __str__(self) -> str:
        by = f" by {self.user}" if self.user else ""
        on = f" on {self.machine}" if self.machine else ""
        return f"open since {self.since}{by}{on}"


class JobLock:
    """Holds the lock of the open job. A lock whose process died on this machine is taken over.

    holder: who else has the job open; closed_folder: whether files beside the job can't be written.
    """

    def __init__(self) -> None:
        self._lock: QLockFile | None = None
        self.path: Path | None = None
        self.holder: Holder | None = None
        self.closed_folder = False

    @property
    def read_only(self) -> bool:
        """Whether this window must not write over the job's file."""
        return self.holder is not None or self.closed_folder

    def take(self, job: Path) -> None:
        """Try to be the one that writes `job`; what was held before is let go."""
        self.release()
        self.path = job.resolve()
        file = lock_file(self.path)
        lock = QLockFile(str(file))
        lock.setStaleLockTime(0)
        if lock.tryLock(0):
            self._lock = lock
        elif lock.error() is QLockFile.LockError.LockFailedError:
            self.holder = _holder(lock, file)
        else:
            self.closed_folder = not os.access(self.path.parent, os.W_OK)

    def take_over(self) -> None:
        """Take the lock from whoever holds it: the user says that nobody is there any more."""
        if self.path is not None:
            with suppress(OSError):
                lock_file(self.path).unlink()
            self.take(self.path)

    def release(self) -> None:
        """Let others write the job."""
        if self._lock is not None:
            self._lock.unlock()
        self._lock = self.path = self.holder = None
        self.closed_folder = False


def lock_file(job: Path) -> Path:
    """Return where the lock of a job is: beside it, hidden."""
    return job.with_name(f".{job.name}.lock")


def _holder(lock: QLockFile, file: Path) -> Holder:
    info = QFileInfo(str(file))
    _process, machine, _program = lock.getLockInfo()
    written = info.lastModified().toLocalTime()
    today = written.daysTo(written.currentDateTime()) == 0
    return Holder(info.owner(), str(machine), written.toString("HH:mm" if today else "d MMM, HH:mm"))
