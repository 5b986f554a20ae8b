"""The bar that says why the open job can only be read here, and what can be done about it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from app.job_lock import JobLock
from app.tasks import Asker

if TYPE_CHECKING:
    from app.window import MainWindow

_NAME = "lock"


class ReadOnly:
    """Holds the open job's lock for a window, or says who else does. Saving compares contents, whatever is locked."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self.lock = JobLock()
        self.asker = Asker(window)
        self.asker.answered.connect(self._say)

    @property
    def is_so(self) -> bool:
        """Whether the window must not write over the job's file."""
        return self.lock.read_only

    def begin(self, job: Path) -> None:
        """Take the job's lock, or say why it can't be had; a lock is pushed to the disk, which may take a while."""
        self.end()
        self.asker.ask(lambda: self.lock.take(job))

    def end(self) -> None:
        """Let the job go."""
        self.asker.close()
        self.lock.release()

    def _say(self, _answer: object = None) -> None:
        window, lock = self._window, self.lock
        window.notices.drop(_NAME)
        if not lock.read_only or lock.path is None:
            return
        elsewhere = ("Save as …", "Go on in a file of your own", window.saver.save_job_as)
        hide = ("Hide", "Put this away; it stays so", lambda: None)
        if lock.holder is not None:
            words = f"{lock.path.name} is {lock.holder}. Look and try things here; saving goes to a file of your own."
            over = ("Write here all the same", "Nobody is there any more; the lock is yours", self._take_over)
            window.notices.say(_NAME, words, (elsewhere, over, hide))
        else:
            words = f"The folder of {lock.path.name} can't be written to; saving goes to a file of your own."
            window.notices.say(_NAME, words, (elsewhere, hide))

    def _take_over(self) -> None:
        self.asker.ask(self.lock.take_over)
