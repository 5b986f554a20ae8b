"""From a session to better ones: runs the solving process and reads each plan off the window's thread."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.by_hand.mend import Mend, mended
from app.plan_for import PlanFor
from app.session import Session, with_better
from app.solving import WORKER, End, Outcome, Solving
from app.tasks import Asker
from planner.jobfile.planfile import plan_to_dict
from planner.model import Plan
from planner.solve.messages import Better


class Planning(QObject):
    """One run at a time over one session; a plan that comes while another is being read waits its turn."""

    planned = Signal(object)
    """A `Session` with a better plan in it."""
    progressed = Signal(object)
    ended = Signal(object)
    """The run's `Outcome`, after its last plan was shown."""
    refused = Signal(object)
    """The exception with which a plan could not be read or audited."""

    def __init__(self, parent: QObject | None = None, command: Sequence[str] = WORKER) -> None:
        super().__init__(parent)
        self.solving = Solving(self, command)
        self.solving.better.connect(self._better)
        self.solving.progressed.connect(self.progressed)
        self.solving.ended.connect(self._ended)
        self._asker = Asker(self)
        self._asker.answered.connect(self._answered)
        self._asker.failed.connect(self._failed)
        self._read: Callable[[Session, Better], Session] = with_better
        self._session: Session | None = None
        self._waiting: Better | None = None
        self._outcome: Outcome | None = None

    @property
    def busy(self) -> bool:
        """Whether a run goes on or its last plan is not shown yet."""
        return self.solving.busy or self._asker.busy or self._outcome is not None

    def start(
        self, session: Session, wanted: PlanFor, seconds: float, mend: Mend | None = None, now: int | None = None
    ) -> None:
        """Plan the job of a session, or mend its plan; what is recorded of its plan stays.

        now: minute since the job's first midnight; None outside its days.
        """
        self._session, self._waiting, self._outcome = session, None, None
        self._read = with_better if mend is None else mended
        loaded = session.loaded
        weather = str(session.weather_file) if session.weather_file else None
        self.solving.start(
            str(loaded.path),
            text=loaded.text,
            weather=weather,
            aim=wanted.aims[0].value,
            worths=asdict(wanted.worths),
            then=tuple(aim.value for aim in wanted.aims[1:]),
            seconds=seconds,
            columns=session.columns,
            mend=mend,
            base=_base(session, wanted),
            now=now,
        )

    def cancel(self) -> None:
        """Stop and keep the best plan."""
        self.solving.cancel()

    def drop(self) -> None:
        """End the run and forget what it found, because another job takes its place."""
        self._session = None
        self._waiting = self._outcome = None
        self._asker.forget()
        self.solving.close()

    def close(self) -> None:
        """End everything; the window shuts."""
        self.drop()
        self._asker.close()

    def _better(self, message: Better) -> None:
        if self._asker.busy:
            self._waiting = message
        else:
            self._take(message)

    def _take(self, message: Better) -> None:
        session = self._session
        if session is not None:
            read = self._read
            self._asker.ask(lambda: read(session, message))

    def _answered(self, session: Session) -> None:
        self.planned.emit(session)
        self._go_on()

    def _failed(self, error: Exception) -> None:
        self.refused.emit(error)
        self._go_on()

    def _go_on(self) -> None:
        message, self._waiting = self._waiting, None
        if message is not None:
            self._take(message)
        elif self._outcome is not None:
            outcome, self._outcome = self._outcome, None
            self.ended.emit(outcome)

    def _ended(self, outcome: Outcome) -> None:
        if self._asker.busy and outcome.end in (End.PLAN, End.CRASHED):
            self._outcome = outcome
        else:
            self.ended.emit(outcome)


def base_plan(session: Session, wanted: PlanFor) -> Plan | None:
    """Return the plan that least change counts from: the last issue where that is wanted, or stands alone."""
    issues = [one.plan for one in session.issued if one.plan is not None and one.plan.placements]
    if issues and wanted.changes and (wanted.from_issue or session.plan is None):
        return issues[-1]
    return session.plan


def _base(session: Session, wanted: PlanFor) -> dict[str, Any] | None:
    """Return the plan that is changed or gone on with; None where the job is planned from nothing."""
    plan = base_plan(session, wanted)
    if plan is None or (not wanted.changes and not session.loaded.job.record):
        return None
    return plan_to_dict(plan, session.loaded.job)
