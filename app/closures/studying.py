"""Studies closures in a child process, reads each sight off the window's thread, and keeps what came of each."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.child import GRACE_MS, Child, Ended
from app.run_end import RunEnd
from app.session import Session
from app.tasks import Asker
from planner.closures.messages import Over, Said, Seen, StudyRequest, from_line, to_line
from planner.closures.plain import study_from_plain
from planner.closures.results import Study
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import plan_from_dict, plan_to_dict
from planner.lines import Halt
from planner.model import Job, Plan

WORKER = (sys.executable, "-m", "planner.closures.worker")


@dataclass(frozen=True)
class Ground:
    """What a study stands on: the job and its forecast, and which closures are on offer (None: all)."""

    loaded: str
    only: frozenset[str] | None = None


def digest_of(loaded: LoadedJob) -> str:
    """Return a mark of a job and its forecast, the same for any two on which a study comes to the same.

    Comments, layout and programmes handed out make no difference.
    """
    series = loaded.series
    values = (series.air_c, series.humidity_pct, series.rain_mm, series.wind_ms, series.cloud_pct)
    weather = (series.start.isoformat().encode(), *(one.tobytes() for one in values))
    job = loaded.job.model_dump_json(exclude={"issues"}).encode()
    return sha256(b"".join((job, *weather))).hexdigest()


class End(RunEnd):
    """How a study ended."""

    done, whole, stopped = "studied", "studied", "stopped; what was found is kept"
    failed, bad_input, process = "the study failed", "the job can't be studied as it stands", "studying"


class Studying(QObject):
    """One study at a time; only the newest sight is read, and what comes late from an earlier run is dropped."""

    seen = Signal(object)
    """A `Study`, whole or on its way."""
    said = Signal(object)
    """A `Said` message."""
    ended = Signal(object)
    """An `End`, after the last sight was read."""
    failed = Signal(object)
    """The exception with which a sight could not be read."""

    def __init__(
        self, parent: QObject | None = None, command: Sequence[str] = WORKER, grace_ms: int = GRACE_MS
    ) -> None:
        super().__init__(parent)
        self._run = 0
        self._job: Job | None = None
        self._contents: dict[int, object] = {}
        self._plans: dict[int, Plan] = {}
        self._waiting: Seen | None = None
        self._over: Over | None = None
        self._end: End | None = None
        self.child = Child(self, command, grace_ms)
        self.child.heard.connect(self._hear)
        self.child.ended.connect(self._ended)
        self._asker = Asker(self)
        self._asker.answered.connect(self._read)
        self._asker.failed.connect(self._not_read)

    @property
    def busy(self) -> bool:
        """Whether a study goes on or its last sight is not read yet."""
        return self.child.busy or self._asker.busy or self._end is not None

    def start(
        self,
        session: Session,
        only: frozenset[str] | None,
        plan: Plan | None,
        known: Iterable[Plan],
        seconds: float,
        seed: int = 1,
    ) -> None:
        """Study the closures of a session's job; `only`, `plan`, `known` as of a `StudyRequest`."""
        self.drop()
        self._run += 1
        self._job = session.loaded.job
        self._contents, self._plans = {}, {}
        planned = session.planned if session.loaded.job.record else None
        request = StudyRequest(
            self._run,
            str(Path(session.loaded.path)),
            session.loaded.text,
            str(session.weather_file) if session.weather_file else None,
            session.columns,
            None if only is None else sorted(only),
            None if plan is None else plan_to_dict(plan, session.loaded.job),
            [plan_to_dict(one, session.loaded.job) for one in dict.fromkeys(known)],
            seconds,
            seed,
            None if planned is None else plan_to_dict(planned, session.loaded.job),
        )
        self.child.start(to_line(request), to_line(Halt(self._run)), seconds)

    def cancel(self) -> None:
        """Stop and keep what was found."""
        self.child.cancel()

    def drop(self) -> None:
        """End the run and forget what it found."""
        self.child.close()
        self._asker.forget()
        self._waiting = self._over = self._end = None

    def close(self) -> None:
        """End everything; the window shuts."""
        self.drop()
        self._asker.close()

    def _hear(self, line: str) -> None:
        try:
            message = from_line(line)
        except ValueError as error:
            self.child.complain(f"{error}\n")
            return
        if message.run != self._run:
            return
        if isinstance(message, Seen):
            self._contents |= {int(number): content for number, content in message.plans.items()}
            self._waiting = message
            self._go_on()
        elif isinstance(message, Said):
            self.said.emit(message)
        elif isinstance(message, Over):
            self._over = message
            self.child.dismiss()

    def _go_on(self) -> None:
        """Read the newest sight unless one is being read; tell the end when nothing is left to read."""
        if self._asker.busy:
            return
        message, self._waiting = self._waiting, None
        job = self._job
        if message is not None and job is not None:
            self._asker.ask(lambda: study_from_plain(message.study, job, lambda number: self._plan(number, job)))
        elif self._end is not None:
            end, self._end = self._end, None
            self.ended.emit(end)

    def _plan(self, number: int, job: Job) -> Plan:
        """Return a plan by its number; read once, in the asking thread only."""
        if number not in self._plans:
            self._plans[number] = plan_from_dict(self._contents[number], job)
        return self._plans[number]

    def _read(self, study: Study) -> None:
        self.seen.emit(study)
        self._go_on()

    def _not_read(self, error: Exception) -> None:
        self.failed.emit(error)
        self._go_on()

    def _ended(self, ended: Ended) -> None:
        self._end = End.of(self._over, ended)
        self._go_on()
