"""One child process at a time that is asked by a line and answers in lines: one state machine, one end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QObject, QProcess, QTimer, Signal

GRACE_MS = 4_000
"""How long the process may take to answer a cancel, or to go after its last word, before it is killed."""
_OVERRUN_S = 20.0
"""Seconds past those asked for after which the process is cancelled."""
_ERROR_CHARACTERS = 2_000
_LAST_LINES = 4


class State(Enum):
    """Where the run is."""

    IDLE = "idle"
    STARTING = "starting"
    RUNNING = "running"
    CANCELLING = "cancelling"


@dataclass(frozen=True)
class Ended:
    """How the process ended: whether it never started, whether it had to be killed, and its last words of error."""

    started: bool
    killed: bool = False
    errors: tuple[str, ...] = ()


class Child(QObject):
    """Runs `command` once a run; what it says after the run was closed is never heard."""

    heard = Signal(str)
    """A line that the process wrote."""
    ended = Signal(object)
    """An `Ended`; the last signal of a run."""
    state_changed = Signal(object)

    def __init__(self, parent: QObject | None, command: Sequence[str], grace_ms: int = GRACE_MS) -> None:
        super().__init__(parent)
        self.state = State.IDLE
        self.command = tuple(command)
        self._process: QProcess | None = None
        self._request, self._cancel_word = "", ""
        self._rest, self._errors, self._killed = b"", "", False
        self._grace_ms = grace_ms
        self._deadline = QTimer(self, singleShot=True)
        self._deadline.timeout.connect(self.cancel)
        self._last_resort = QTimer(self, singleShot=True)
        self._last_resort.timeout.connect(self._kill)

    @property
    def busy(self) -> bool:
        """Whether a run goes on."""
        return self.state is not State.IDLE

    def start(self, request: str, cancel_word: str, seconds: float) -> None:
        """Start the process and write it the line `request`; RuntimeError while a run goes on.

        cancel_word: the line that asks it to stop and keep what it has. seconds: how long it may take, about; long
        past that it is cancelled.
        """
        if self.busy:
            raise RuntimeError("a run goes on; cancel it first")
        self._request, self._cancel_word = request, cancel_word
        self._rest, self._errors, self._killed = b"", "", False
        process = QProcess(self)
        self._process = process
        process.started.connect(self._started)
        process.readyReadStandardOutput.connect(self._read)
        process.readyReadStandardError.connect(self._read_errors)
        process.errorOccurred.connect(self._error)
        process.finished.connect(self._finished)
        self._deadline.setInterval(int((seconds + _OVERRUN_S) * 1000))
        self._enter(State.STARTING)
        process.start(self.command[0], list(self.command[1:]))

    def cancel(self) -> None:
        """Ask the process to stop and keep what it has; kill it if it does not answer."""
        if self._process is None or self.state is State.CANCELLING:
            return
        if self.state is State.RUNNING:
            self._write(self._cancel_word)
        self._enter(State.CANCELLING)
        self._last_resort.start(self._grace_ms)

    def dismiss(self) -> None:
        """Say that the last word was heard: the process has nothing left to do and shall go."""
        if self._process is not None:
            self._process.closeWriteChannel()
            self._last_resort.start(self._grace_ms)

    def complain(self, words: str) -> None:
        """Keep words beside the process's own errors, for the case that it ends badly."""
        self._errors = (self._errors + words)[-_ERROR_CHARACTERS:]

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

    def _write(self, line: str) -> None:
        assert self._process is not None
        self._process.write((line + "\n").encode())

    def _started(self) -> None:
        self._write(self._request)
        self._deadline.start()
        if self.state is State.CANCELLING:
            self._write(self._cancel_word)
        else:
            self._enter(State.RUNNING)

    def _read(self) -> None:
        if self._process is None:
            return
        *lines, self._rest = (self._rest + bytes(self._process.readAllStandardOutput().data())).split(b"\n")
        for line in lines:
            if line.strip():
                self.heard.emit(line.decode("utf-8", "replace"))

    def _read_errors(self) -> None:
        if self._process is not None:
            self.complain(bytes(self._process.readAllStandardError().data()).decode("utf-8", "replace"))

    def _error(self, error: QProcess.ProcessError) -> None:
        """A process that can't start says so here, and never finishes."""
        if error is QProcess.ProcessError.FailedToStart and self._process is not None:
            self._end(Ended(False, errors=(self._process.errorString(),)))

    def _finished(self) -> None:
        if self._process is None:
            return
        self._read()
        self._read_errors()
        lines = tuple(line for line in self._errors.strip().splitlines() if line.strip())
        self._end(Ended(True, self._killed, lines[-_LAST_LINES:]))

    def _kill(self) -> None:
        if self._process is not None:
            self._killed = True
            self._process.kill()

    def _end(self, ended: Ended) -> None:
        self._deadline.stop()
        self._last_resort.stop()
        process, self._process = self._process, None
        if process is not None:
            process.deleteLater()
        self._enter(State.IDLE)
        self.ended.emit(ended)
