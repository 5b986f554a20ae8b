"""A plan read from a PLAN.json onto the board: one saved here, or made by the command line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from app.session import Session, of_another_plan, with_placed
from app.tasks import Asker
from planner.errors import InputError
from planner.jobfile.planfile import read_plan

if TYPE_CHECKING:
    from app.window import MainWindow


class PlanOpening(QObject):
    """Reads and audits off the window's thread; a plan is a step of undo, a file that is none changes nothing."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._name = ""
        self.asker = Asker(self)
        self.asker.answered.connect(self._opened)
        self.asker.failed.connect(self._failed)

    def choose(self) -> None:
        """Let the user choose a plan of the open job."""
        window = self._window
        name, _ = QFileDialog.getOpenFileName(
            window, "Open a plan of this job", window.folder, "Plans (*.json);;All files (*)"
        )
        if name:
            self.open(Path(name))

    def open(self, path: Path) -> None:
        """Put the plan in a file on the board."""
        session = self._window.session
        if session is None:
            return
        self._name = path.name
        self._window.tell(f"Reading {path.name} …")
        self.asker.ask(lambda: (session, _read(session, path)))

    def _opened(self, found: tuple[Session, Session]) -> None:
        before, after = found
        window = self._window
        if window.session is not before:
            window.tell(f"{self._name} was not opened: the job or the plan changed meanwhile; open it again.")
            return
        window.saver.kept_plan = after.plan
        window.take_step(f"plan from {self._name}", after)

    def _failed(self, error: Exception) -> None:
        lines = [str(one) for one in error.faults] if isinstance(error, InputError) else [str(error)]
        self._window.banner.say([f"{self._name} was not opened as a plan of this job.", *lines])
        self._window.tell(f"{self._name} was not opened")


def _read(session: Session, path: Path) -> Session:
    plan = read_plan(path, session.loaded.job)
    return with_placed(of_another_plan(session, taken=False, proved=False), plan)
