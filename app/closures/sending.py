"""Gives the request list to others: as spreadsheet, paper, calendar or text; written off the window's thread.

Our own figures go into a second file, or on the clipboard in the request's place, and only where the user says so.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from app.new_file import ask_new_file
from app.session import Session
from app.sheets.pdf import draw_request
from app.tasks import Asker
from planner.closures.parts import OURS_ONLY
from planner.closures.request import own_tab_text, study_of_plan, tab_text
from planner.closures.results import Study

Clock = Callable[[], datetime]
_COPIED = "The request list is on the clipboard"
_COPIED_OURS = "Our own figures are on the clipboard, not to be handed over"
_KINDS = {
    "xlsx": ("The request list as a spreadsheet", "closures.xlsx", "Spreadsheets (*.xlsx)"),
    "pdf": ("The request list on paper", "closures.pdf", "PDF (*.pdf)"),
    "ics": ("The closures as a calendar", "closures.ics", "Calendars (*.ics)"),
}


class Sending(QObject):
    """Writes whole files or none. Without a study it says of the plan on the board what there is to say."""

    told = Signal(object)
    """What became of it, in words."""

    def __init__(self, over: QWidget, clock: Clock) -> None:
        super().__init__(over)
        self._over, self._clock = over, clock
        self.asker = Asker(self)
        self.asker.answered.connect(self._done)
        self.asker.failed.connect(self._failed)

    def send(self, kind: str, session: Session, study: Study | None, ours: bool = False) -> None:
        """Let the user name a file, and write the list into it as "xlsx", "pdf" or "ics"; ours: and a second one."""
        title, name, kinds = _KINDS[kind]
        path = ask_new_file(self._over, title, Path(session.loaded.path).parent / name, kinds)
        if path is not None:
            made = self._clock()
            self.asker.ask(lambda: _write(path, kind, _study(session, study), made, ours))

    def copy(self, session: Session, study: Study | None, ours: bool = False) -> None:
        """Put the list on the clipboard, or what it is worth to us."""
        self.asker.ask(lambda: (own_tab_text if ours else tab_text)(_study(session, study)))

    def _done(self, made: tuple[Path, ...] | str) -> None:
        if isinstance(made, str):
            QGuiApplication.clipboard().setText(made)
            self.told.emit(_COPIED_OURS if made.startswith(OURS_ONLY) else _COPIED)
            return
        request, *others = made
        own = f"; for ourselves, not to be handed over: {others[0].name}" if others else ""
        self.told.emit(f"Saved {request}{own}")

    def _failed(self, error: Exception) -> None:
        words = error.strerror if isinstance(error, OSError) and error.strerror else error
        self.told.emit(f"The request list was not written: {words}")


def _study(session: Session, study: Study | None) -> Study:
    if study is not None and study.recommended is not None:
        return study
    if session.plan is None:
        raise ValueError("there is no plan yet")
    return study_of_plan(session.loaded.job, session.loaded.weather, session.plan)


def _write(path: Path, kind: str, study: Study, made: datetime, ours: bool) -> tuple[Path, ...]:
    # What writes calendars and spreadsheets takes a quarter of a second to load: only where it is needed.
    from planner.closures.handing import Kind, write_parts

    return write_parts(path, Kind(kind), study, made, draw_request, ours)
