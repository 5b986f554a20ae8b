"""Runs of the planner as the window shows them: started and told in its header, and a step of undo at the end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.planning import Planning
from app.reason_words import named
from app.session import Session
from app.solving import End, Outcome
from app.status_words import plan_words, progress_words
from planner.solve.messages import Progress

if TYPE_CHECKING:
    from app.window import MainWindow


class PlanRuns(QObject):
    """Shows each better plan as it comes; what was shown before can be brought back."""

    def __init__(self, window: MainWindow, command: Sequence[str]) -> None:
        super().__init__(window)
        self._window = window
        self._before: Session | None = None
        self.planning = Planning(self, command)
        self.planning.planned.connect(window.take)
        self.planning.progressed.connect(self._progressed)
        self.planning.ended.connect(self._ended)
        self.planning.refused.connect(window.tell)

    def start(self) -> None:
        """Look for a plan of the open job; the best so far is shown as it comes."""
        window = self._window
        if window.session is None or self.planning.busy:
            return
        settings = window.settings
        settings.aim = window.header.chosen_aim
        settings.seconds = window.header.seconds.value()
        window.banner.hide()
        self._before = window.session
        window.header.set_progress(0, settings.seconds)
        window.header.status.setText("Planning …")
        self.planning.start(window.session, settings.aim, settings.seconds)
        window.enable()

    def _progressed(self, progress: Progress) -> None:
        window, settings = self._window, self._window.settings
        window.header.set_progress(progress.seconds, settings.seconds)
        if window.session is not None:
            words = progress_words(progress, settings.seconds, settings.aim, window.session)
            window.header.status.setText(words)

    def _ended(self, outcome: Outcome) -> None:
        window, session = self._window, self._window.session
        if session is not None:
            window.header.status.setText(plan_words(session, outcome))
            self._make_step(session)
        self._before = None
        window.tell(f"Planning: {outcome}")
        if outcome.end is not End.PLAN:
            kept = " The plan shown is from before." if session and session.plan else ""
            head = f"{str(outcome)[0].upper()}{str(outcome)[1:]}"
            said = any(reason.startswith(head) for reason in outcome.reasons[:1])
            lines = outcome.reasons if said and not kept else (f"{head}.{kept}", *outcome.reasons)
            window.banner.say([named(session, line) for line in lines] if session else lines)
        window.enable()

    def _make_step(self, after: Session) -> None:
        """Let undo bring back the plan that a run has put another in the place of."""
        before = self._before
        if before is not None and before is not after and before.plan is not None:
            self._window.mover.push("new plan", before, after)
