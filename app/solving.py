"""Runs the planner in a child process: one state machine, and one outcome that can speak."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QObject, QProcess, QTimer, Signal

from planner.solve.messages import Better, Cancel, Done, Progress, SolveRequest, from_line, to_line

WORKER = (sys.executable, "-m", "planner.solve.worker")
_GRACE_MS = 4_000
"""How long the worker may take to answer a cancel before it is killed."""
_OVERRUN_S = 20.0
"""Seconds past those asked for after which the worker is cancelled."""
_ERROR_CHARACTERS = 2_000


class State(Enum):
    """Where the run is."""

    IDLE = "idle"
    STARTING = "starting"
    RUNNING = "running"
    CANCELLING = "cancelling"


class End(Enum):
    """How a run ended."""

    PLAN = "plan"
    NO_PLAN = "no-plan"
    BAD_INPUT = "bad-input"
    FAILED = "failed"
    CRASHED = "crashed"
    NOT_STARTED = "not-started"


@dataclass(frozen=True)
class Outcome:
    """How a run ended; `str()` says it to people."""

    run: int
    end: End
    proved: bool = False
    cancelled: bool = False
    seconds: float = 0.0
    reasons: tuple[str, ...] = ()

    def __str__(self) -> str:
        match self.end:
            case End.PLAN if self.proved:
                return "proved best"
            case End.PLAN if self.cancelled:
                return "stopped; the best plan so far is kept"
            case End.PLAN:
                return "the time is up; the best plan found is kept"
            case End.NO_PLAN if self.proved:
                return "no plan exists"
            case End.NO_PLAN:
                return "stopped before a plan was found" if self.cancelled else "no plan was found"
            case End.BAD_INPUT:
                return "the job can't be planned as it stands"
            case End.NOT_STARTED:
                return "the planning process could not be started"
            case End.CRASHED:
                return "the planning process ended without an answer"
        return "planning failed"


class Solving(QObject):
    """One planning process at a time; what comes late from an earlier one is dropped."""

    better = Signal(object)
    """A `Better` message."""
    progressed = Signal(object)
    """A `Progress` message."""
    ended = Signal(object)
    """An `Outcome`; the last signal of a run."""
    state_changed = Signal(object)

    def __init__(
        self, parent: QObject | None = None, command: Sequence[str] = WORKER, grace_ms: int = _GRACE_MS
    ) -> None:
        super().__init__(parent)
        self.state = State.IDLE
        self._command = tuple(command)
        self._run = 0
        self._plans = 0
        self._process: QProcess | None = None
        self._done: Done | None = None
        self._rest = b""
        self._errors = ""
        self._killed = False
        self._grace_ms = grace_ms
        self._deadline = QTimer(self, singleShot=True)
        self._deadline.timeout.connect(self.cancel)
        self._last_resort = QTimer(self, singleShot=True)
        self._last_resort.timeout.connect(self._kill)

    @property
    def busy(self) -> bool:
        """Whether a run goes on."""
        return self.state is not State.IDLE

    def start(
        self,
        job: str,
        *,
        text: str | None = None,
        weather: str | None = None,
        aim: str = "finish",
        seconds: float = 10.0,
        seed: int = 1,
        columns: str = "",
    ) -> int:
        """Start planning the job file at `job`; return the run's number. RuntimeError while one goes on.

        text: the job's content in place of the file's; weather: a forecast file in place of the job's own;
        columns: what is what in its sheet.
        """
        if self.busy:
            raise RuntimeError("a run goes on; cancel it first")
        self._run += 1
        self._plans, self._done, self._rest, self._errors, self._killed = 0, None, b"", "", False
        process = QProcess(self)
        self._process = process
        process.started.connect(self._started)
        process.readyReadStandardOutput.connect(self._read)
        process.readyReadStandardError.connect(self._read_errors)
        process.errorOccurred.connect(self._error)
        process.finished.connect(self._finished)
        self._request = SolveRequest(self._run, job, text, weather, aim, seconds, seed, columns)
        self._deadline.setInterval(int((seconds + _OVERRUN_S) * 1000))
        self._enter(State.STARTING)
        process.start(self._command[0], list(self._command[1:]))
        return self._run

    def cancel(self) -> None:
        """Ask the worker to stop and keep its best plan; kill it if it does not answer."""
        if self._process is None or self.state is State.CANCELLING:
            return
        if self.state is State.RUNNING:
            self._process.write((to_line(Cancel(self._run)) + "\n").encode())
        self._enter(State.CANCELLING)
        self._last_resort.start(self._grace_ms)

    def close(self) -> None:
        """End the run without waiting for an answer; no signal follows."""
        process, self._process = self._process, None
        self._deadline.stop()
        self._last_resort.stop()
        self.state = State.IDLE
        if process is not None:
            process.blockSignals(True)
            process.closeWriteChannel()
            if not process.waitForFinished(300):
                process.kill()
                process.waitForFinished(1000)
            process.deleteLater()

    def _enter(self, state: State) -> None:
        self.state = state
        self.state_changed.emit(state)

    def _started(self) -> None:
        assert self._process is not None
        self._process.write((to_line(self._request) + "\n").encode())
        self._deadline.start()
        if self.state is State.CANCELLING:
            self._process.write((to_line(Cancel(self._run)) + "\n").encode())
        else:
            self._enter(State.RUNNING)

    def _read(self) -> None:
        if self._process is None:
            return
        *lines, self._rest = (self._rest + bytes(self._process.readAllStandardOutput().data())).split(b"\n")
        for line in lines:
            if line.strip():
                self._hear(line.decode("utf-8", "replace"))

    def _hear(self, line: str) -> None:
        try:
            message = from_line(line)
        except ValueError as error:
            self._errors = (self._errors + f"{error}\n")[-_ERROR_CHARACTERS:]
            return
        if getattr(message, "run", None) != self._run:
            return
        if isinstance(message, Better):
            self._plans += 1
            self.better.emit(message)
        elif isinstance(message, Progress):
            self.progressed.emit(message)
        elif isinstance(message, Done):
            self._done = message
            if self._process is not None:
                self._process.closeWriteChannel()
                self._last_resort.start(self._grace_ms)

    def _read_errors(self) -> None:
        if self._process is not None:
            text = bytes(self._process.readAllStandardError().data()).decode("utf-8", "replace")
            self._errors = (self._errors + text)[-_ERROR_CHARACTERS:]

    def _error(self, error: QProcess.ProcessError) -> None:
        """A process that can't start says so here, and never finishes."""
        if error is QProcess.ProcessError.FailedToStart and self._process is not None:
            self._end(Outcome(self._run, End.NOT_STARTED, reasons=(self._process.errorString(),)))

    def _finished(self) -> None:
        if self._process is None:
            return
        self._read()
        self._read_errors()
        self._end(self._outcome())

    def _outcome(self) -> Outcome:
        done = self._done
        if done is not None:
            known = {end.value: end for end in End}
            end = known.get(done.outcome, End.FAILED)
            return Outcome(self._run, end, done.proved, done.cancelled, done.seconds, done.reasons)
        if self._killed and self._plans:
            return Outcome(self._run, End.PLAN, cancelled=True, reasons=("the planning process had to be killed",))
        if self._killed:
            return Outcome(self._run, End.NO_PLAN, cancelled=True, reasons=("the planning process had to be killed",))
        lines = tuple(line for line in self._errors.strip().splitlines() if line.strip())
        return Outcome(self._run, End.CRASHED, reasons=lines[-4:])

    def _kill(self) -> None:
        if self._process is not None:
            self._killed = True
            self._process.kill()

    def _end(self, outcome: Outcome) -> None:
        self._deadline.stop()
        self._last_resort.stop()
        process, self._process = self._process, None
        if process is not None:
            process.deleteLater()
        self._enter(State.IDLE)
        self.ended.emit(outcome)
