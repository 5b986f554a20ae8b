"""Runs the replanning process, and reads what it says into sights."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.child import GRACE_MS, Child, Ended
from app.run_end import RunEnd
from app.session import Session
from planner.errors import InputError
from planner.jobfile.planfile import plan_to_dict
from planner.lines import Halt
from planner.model import Job, Plan
from planner.replan.messages import Answer, Broken, Looking, Over, ReplanRequest, from_line, to_line
from planner.replan.sights import Sight, answer_from_plain, sight_from_plain

WORKER = (sys.executable, "-m", "planner.replan.worker")
_MOST_WAYS = 20


class End(RunEnd):
    """How a run ended."""

    done, whole, stopped = "looked", "all ways out looked at", "stopped; the ways out found so far are kept"
    failed, bad_input = "replanning failed", "the job or the forecast can't be used as it stands"
    process = "replanning"


class Replanning(QObject):
    """One run at a time; what comes late from an earlier one is dropped."""

    seen = Signal(object)
    """A `Sight`: what breaks, later with the answers so far."""
    looking = Signal(object)
    """A `Looking` message."""
    ended = Signal(object)
    """An `End`; the last signal of a run."""

    def __init__(
        self, parent: QObject | None = None, command: Sequence[str] = WORKER, grace_ms: int = GRACE_MS
    ) -> None:
        super().__init__(parent)
        self._run = 0
        self._job: Job | None = None
        self._sight: Sight | None = None
        self._over: Over | None = None
        self._child = Child(self, command, grace_ms)
        self._child.heard.connect(self._hear)
        self._child.ended.connect(self._ended)

    @property
    def busy(self) -> bool:
        """Whether a run goes on."""
        return self._child.busy

    def start(
        self, session: Session, base: Plan, now: int, weather: Path | None, columns: str, seconds: float
    ) -> None:
        """Look for the ways out from slot `now` on, each for some seconds.

        weather, columns: the new forecast's file, None for the job's own, and what is what in it.
        """
        if self.busy:
            raise RuntimeError("a run goes on; cancel it first")
        self._run += 1
        self._job, self._sight, self._over = session.loaded.job, None, None
        request = ReplanRequest(
            self._run,
            str(session.loaded.path),
            plan_to_dict(base, session.loaded.job),
            now,
            session.loaded.text,
            None if weather is None else str(weather),
            columns,
            seconds,
        )
        self._child.start(to_line(request), to_line(Halt(self._run)), seconds * _MOST_WAYS)

    def cancel(self) -> None:
        """Stop and keep what was found."""
        self._child.cancel()

    def close(self) -> None:
        """End the run without waiting for an answer; no signal follows."""
        self._child.close()

    def _hear(self, line: str) -> None:
        try:
            message = from_line(line)
            if getattr(message, "run", None) == self._run:
                self._take(message)
        except (InputError, ValueError, KeyError, TypeError) as error:
            self._child.complain(f"{error}\n")

    def _take(self, message: object) -> None:
        job = self._job
        if job is None:
            return
        if isinstance(message, Broken):
            self._show(sight_from_plain(message.sight, job))
        elif isinstance(message, Answer) and self._sight is not None:
            self._show(self._sight.with_answer(answer_from_plain(message.answer, job)))
        elif isinstance(message, Looking):
            self.looking.emit(message)
        elif isinstance(message, Over):
            self._over = message
            self._child.dismiss()

    def _show(self, sight: Sight) -> None:
        self._sight = sight
        self.seen.emit(sight)

    def _ended(self, ended: Ended) -> None:
        self.ended.emit(End.of(self._over, ended))
