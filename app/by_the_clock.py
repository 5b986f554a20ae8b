"""What changes as time passes: the line of now, and what of the plan should have begun by it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from app.session import Session, at_minute
from app.tasks import Asker
from planner.site_record.progress import record_now
from planner.units import SLOT_MINUTES

if TYPE_CHECKING:
    from app.window import MainWindow

_MINUTE_MS = 60_000


class ByTheClock(QObject):
    """Moves now on each minute; a plan with a site record is judged anew, off the window's thread, each slot.

    Each slot and not each minute: work a quarter of an hour late is told as overdue, not work a minute late. The
    clock counts only inside the job's days; outside them the newest entry is the last that is known.
    """

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._before: Session | None = None
        self.asker = Asker(self)
        self.asker.answered.connect(self._judged)
        self.asker.failed.connect(window.tell)
        self._minute = QTimer(self, interval=_MINUTE_MS)
        self._minute.timeout.connect(self.tick)
        self._minute.start()
        window.mover.stack.indexChanged.connect(lambda _index: self.look())
        window.planning.ended.connect(lambda _outcome: self.look())

    def close(self) -> None:
        """End everything; the window shuts."""
        self._minute.stop()
        self.asker.close()

    def tick(self) -> None:
        """Take it that time has passed."""
        window = self._window
        if window.board is not None:
            window.board.tick()
            for view in window.pages.values():
                view.set_now(window.board.look.now)
            self.look()

    def look(self) -> None:
        """Judge the plan shown at the time that is now, where it was judged at an earlier one."""
        session, now = self._window.session, self._now()
        if session is None or session.plan is None or now is None or self._is_busy:
            return
        job = session.loaded.job
        if job.record and now > max(session.now, record_now(job)):
            self._before = session
            self.asker.ask(lambda: at_minute(session, now))

    def _now(self) -> int | None:
        """Return the minute at which the slot of now begins; None outside the job's days."""
        board, session = self._window.board, self._window.session
        now = board.look.now if board is not None else None
        if session is None or now is None or not 0 <= now <= session.facts.horizon:
            return None
        return int(now) * SLOT_MINUTES

    @property
    def _is_busy(self) -> bool:
        """Whether something goes on that begins from the session shown; the next minute will do then."""
        window = self._window
        working = (
            window.planning.busy
            or window.editor.busy
            or window.own_forecast.asker.busy
            or window.issue_forecast.asker.busy
        )
        return working or window.mover.is_at_work or window.looking.shown is not None

    def _judged(self, after: Session) -> None:
        window, before = self._window, self._before
        self._before = None
        if before is None or window.session is not before or self._is_busy:
            return
        window.mover.put(before, after)
        window.take(after)
        window.say_plan()
