"""Runs of the planner as the window shows them: started and told in its header, and a step of undo at the end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.by_hand.mend import MEND_S, mend_of, mend_words
from app.plan_for import PlanFor
from app.planning import Planning, base_plan
from app.reason_words import named
from app.session import Session
from app.site_record.rest_words import REST, rest_words
from app.solving import End, Outcome
from app.status_words import plan_words, progress_words
from planner.model import Aim
from planner.solve.messages import Progress
from planner.units import SLOT_MINUTES

if TYPE_CHECKING:
    from app.window import MainWindow


MENDING = "Mending"
_UNMENDED = (
    "Nothing was found that mends the rest while what was moved by hand, or pinned, stays where it is. Move it "
    "elsewhere, undo it (Ctrl+Z), or plan again (F5)."
)


class PlanRuns(QObject):
    """Shows each better plan as it comes; what was shown before can be brought back."""

    def __init__(self, window: MainWindow, command: Sequence[str]) -> None:
        super().__init__(window)
        self._window = window
        self._before: Session | None = None
        self._doing, self._seconds = "Planning", 0.0
        self._wanted = PlanFor()
        self._is_mend_told = False
        self.planning = Planning(self, command)
        self.planning.planned.connect(window.take)
        self.planning.progressed.connect(self._progressed)
        self.planning.ended.connect(self._ended)
        self.planning.refused.connect(window.tell)

    def start(self) -> None:
        """Look for a plan of the open job; the best so far is shown as it comes."""
        window, wanted = self._window, self._window.header.wanted
        if window.session is not None and base_plan(window.session, wanted) is None:
            wanted = wanted.of_nothing
        self._run(wanted, "Planning")

    def start_rest(self) -> None:
        """Look for the least change of the standing plan from now on; what is recorded as begun stays."""
        if self._window.session is not None and self._window.session.plan is not None:
            self._run(PlanFor((Aim.CHANGE,)), REST)

    def _run(self, wanted: PlanFor, doing: str) -> None:
        window = self._window
        if window.session is None or self.planning.busy:
            return
        self._wanted, settings = wanted, window.settings
        settings.seconds = window.header.seconds.value()
        self._begin(doing, settings.seconds)
        now = window.board.look.now if window.board is not None else None
        inside = now is not None and 0 <= now <= window.session.facts.horizon
        minute = round(now * SLOT_MINUTES) if now is not None and inside else None
        self.planning.start(window.session, wanted, settings.seconds, now=minute)
        window.enable()

    def mend(self) -> None:
        """Move as little as possible so that nothing is broken, and leave what was moved by hand where it is."""
        window = self._window
        if window.session is None or self.planning.busy:
            return
        mend = mend_of(window.session)
        if mend is None:
            window.tell("Nothing is broken: there is nothing to mend.")
            return
        self._begin(MENDING, MEND_S)
        self.planning.start(window.session, PlanFor(), MEND_S, mend)
        window.enable()

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back while a run goes on: one made before, or what the run has shown."""
        before = self._before
        has_shown = before is not None and before.plan is not None and before is not self._window.session
        return has_shown or self._window.mover.stack.canUndo()

    def undo(self) -> None:
        """Take the last step back; a run that goes on is stopped for it, and what it has shown is that step."""
        window = self._window
        if not self.planning.busy:
            window.mover.stack.undo()
            return
        self.planning.drop()
        if window.session is not None:
            self._make_step(window.session)
        self._before = None
        window.mover.stack.undo()
        window.tell(f"{self._doing} stopped. {window.statusBar().currentMessage()}")

    def note_step(self, *, goes_back: bool) -> None:
        """Put away what was said of the plan before a step: reasons for want of a plan stand while the job is changed
        for them, those of a mend only while what was moved stands."""
        if goes_back or self._is_mend_told:
            self._window.banner.hide()

    def _begin(self, doing: str, seconds: float) -> None:
        window = self._window
        window.banner.hide()
        self._before, self._doing, self._seconds = window.session, doing, seconds
        window.header.set_progress(0, seconds)
        window.header.status.setText(f"{doing} …")

    def _progressed(self, progress: Progress) -> None:
        window, settings = self._window, self._window.settings
        window.header.set_progress(progress.seconds, self._seconds)
        if self._doing == MENDING:
            window.header.status.setText(f"{MENDING}, {progress.seconds:.0f} s of {self._seconds:g} s")
        elif window.session is not None:
            words = progress_words(progress, settings.seconds, self._wanted, window.session)
            window.header.status.setText(words)

    def _ended(self, outcome: Outcome) -> None:
        window, session = self._window, self._window.session
        if session is not None:
            window.header.status.setText(plan_words(session, outcome))
            self._make_step(session)
        window.tell(self._ended_words(outcome, session))
        self._before = None
        self._is_mend_told = self._doing == MENDING
        if outcome.end is End.NO_PLAN and self._doing == MENDING:
            window.banner.say([_UNMENDED, *(named(session, line) if session else line for line in outcome.reasons)])
        elif outcome.end is not End.PLAN:
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
            words = {MENDING: "mending of the rest", REST: "planning of the rest"}
            self._window.mover.push(words.get(self._doing, "new plan"), before, after)

    def _ended_words(self, outcome: Outcome, after: Session | None) -> str:
        before = self._before
        if self._doing == MENDING and outcome.end is End.PLAN and before is not None and after is not None:
            return mend_words(before, after)
        if self._doing == REST and outcome.end is End.PLAN and before is not None and after is not None:
            return rest_words(before, after)
        return f"{self._doing}: {outcome}"
