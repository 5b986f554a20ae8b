"""Runs the planner in a child process; its outcome can speak."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.by_hand.mend import Mend
from app.child import GRACE_MS, Child, Ended, State
from planner.cli.standing import AIMS
from planner.model import Aim
from planner.solve.messages import Better, Cancel, Done, Progress, SolveRequest, from_line, to_line

WORKER = (sys.executable, "-m", "planner.solve.worker")


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
    """How a run ended; `str()` says it to people. aim: the first, the only one of which anything is proved."""

    run: int
    end: End
    proved: bool = False
    cancelled: bool = False
    seconds: float = 0.0
    reasons: tuple[str, ...] = ()
    aim: Aim = Aim.FINISH

    def __str__(self) -> str:
        match self.end:
            case End.PLAN if self.proved:
                return f"{AIMS[self.aim]} proved"
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
        self, parent: QObject | None = None, command: Sequence[str] = WORKER, grace_ms: int = GRACE_MS
    ) -> None:
        super().__init__(parent)
        self._run = 0
        self._plans, self._aim = 0, Aim.FINISH
        self._done: Done | None = None
        self._child = Child(self, command, grace_ms)
        self._child.heard.connect(self._hear)
        self._child.ended.connect(self._ended)
        self._child.state_changed.connect(self.state_changed)

    @property
    def state(self) -> State:
        """Where the run is."""
        return self._child.state

    @property
    def busy(self) -> bool:
        """Whether a run goes on."""
        return self._child.busy

    def start(
        self,
        job: str,
        *,
        text: str | None = None,
        weather: str | None = None,
        aim: str = "finish",
        then: tuple[str, ...] = (),
        worths: dict[str, float] | None = None,
        seconds: float = 10.0,
        seed: int = 1,
        columns: str = "",
        mend: Mend | None = None,
        base: dict[str, Any] | None = None,
        now: int | None = None,
    ) -> int:
        """Start planning the job file at `job`; return the run's number. RuntimeError while one goes on.

        text: the job's content in place of the file's; weather: a forecast file in place of the job's own;
        columns: what is what in its sheet. mend: a plan to be mended rather than made anew. then, worths, base, now:
        as of a `SolveRequest`.
        """
        if self.busy:
            raise RuntimeError("a run goes on; cancel it first")
        self._run += 1
        self._plans, self._done = 0, None
        self._aim = Aim.CHANGE if mend is not None else Aim(aim)
        request = SolveRequest(self._run, job, text, weather, aim, seconds, seed, columns, base, now=now)
        request = replace(request, then=then, worths=worths or {})
        if mend is not None:
            request = replace(
                request, aim=Aim.CHANGE.value, then=(), worths={}, base=mend.base, held=mend.held, begun=mend.begun
            )
        self._child.start(to_line(request), to_line(Cancel(self._run)), seconds)
        return self._run

    def cancel(self) -> None:
        """Ask the worker to stop and keep its best plan; kill it if it does not answer."""
        self._child.cancel()

    def close(self) -> None:
        """End the run without waiting for an answer; no signal follows."""
        self._child.close()

    def _hear(self, line: str) -> None:
        try:
            message = from_line(line)
        except ValueError as error:
            self._child.complain(f"{error}\n")
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
            self._child.dismiss()

    def _ended(self, ended: Ended) -> None:
        self.ended.emit(self._outcome(ended))

    def _outcome(self, ended: Ended) -> Outcome:
        done = self._done
        if not ended.started:
            return Outcome(self._run, End.NOT_STARTED, reasons=ended.errors)
        if done is not None:
            known = {end.value: end for end in End}
            end = known.get(done.outcome, End.FAILED)
            return Outcome(self._run, end, done.proved, done.cancelled, done.seconds, done.reasons, self._aim)
        if ended.killed:
            end = End.PLAN if self._plans else End.NO_PLAN
            return Outcome(self._run, end, cancelled=True, reasons=("the planning process had to be killed",))
        return Outcome(self._run, End.CRASHED, reasons=ended.errors)
