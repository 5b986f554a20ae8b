"""Asks the process that works out what no plan goes below."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from app.child import Child, Ended
from app.session import Session
from planner.errors import InputError
from planner.jobfile.planfile import plan_to_dict
from planner.model import Floors
from planner.solve.messages import Cancel, FloorsFound, FloorsRequest, from_line, to_line

WORKER = (sys.executable, "-m", "planner.solve.floors_worker")
_SECONDS = 60.0
_RUN = 1


class FloorsAsker(QObject):
    """One question of one session."""

    found = Signal(object)
    """A `Floors`, or None where they could not be worked out; the last signal."""

    def __init__(self, parent: QObject | None = None, command: Sequence[str] = WORKER) -> None:
        super().__init__(parent)
        self._floors: Floors | None = None
        self._child = Child(self, command)
        self._child.heard.connect(self._hear)
        self._child.ended.connect(self._ended)

    def ask(self, session: Session) -> None:
        """Ask what no plan of the session's job on its forecast goes below."""
        base = session.planned or session.plan
        request = FloorsRequest(
            _RUN,
            str(session.loaded.path),
            session.loaded.text,
            None if session.weather_file is None else str(session.weather_file),
            session.columns,
            None if base is None else plan_to_dict(base, session.loaded.job),
            session.now or None,
        )
        self._child.start(to_line(request), to_line(Cancel(_RUN)), _SECONDS)

    def close(self) -> None:
        """End without waiting for an answer; no signal follows."""
        self._child.close()

    def _hear(self, line: str) -> None:
        try:
            message = from_line(line)
            if isinstance(message, FloorsFound):
                self._floors = Floors(**message.floors) if message.floors else None
                self._child.dismiss()
        except (InputError, ValueError, KeyError, TypeError) as error:
            self._child.complain(f"{error}\n")

    def _ended(self, _ended: Ended) -> None:
        self.found.emit(self._floors)
