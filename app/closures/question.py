"""What is asked of the closures, and what is known: the offer, the study shown, and whether it is of before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from app.closures.rows import default_offer
from app.closures.studying import End, Ground, Studying, digest_of
from app.session import Session
from planner.closures.results import Study
from planner.jobfile.load import LoadedJob
from planner.model import Plan


class Question(QObject):
    """Keeps every study by what it stands on, so that one that fits again is shown again."""

    changed = Signal()
    """There is more to show, or something else."""
    ended = Signal(object)
    """How a study ended: its `End`."""

    def __init__(self, parent: QObject, command: Sequence[str]) -> None:
        super().__init__(parent)
        self.study: Study | None = None
        self.offered: frozenset[str] = frozenset()
        self.ended_words = ""
        self._session: Session | None = None
        self._ground: Ground | None = None
        self._known: dict[Ground, Study] = {}
        self._stairs_of: Study | None = None
        self._digest: tuple[LoadedJob | None, str] = None, ""
        self.studying = Studying(self, command)
        self.studying.seen.connect(self._seen)
        self.studying.ended.connect(self._ended)

    def open(self, session: Session) -> None:
        """Begin with a job that was just opened: nothing is known of it."""
        self.studying.drop()
        self._known.clear()
        self.study, self._ground, self.ended_words = None, None, ""
        self._session = session
        self.offered = default_offer(session.loaded.job)

    def renew(self, session: Session) -> None:
        """Go on with the same job with another plan, forecast or wording."""
        before, self._session = self._session, session
        if before is not None and before.loaded is not session.loaded:
            self._follow_states(before, session)
        self._recall()

    def _follow_states(self, before: Session, now: Session) -> None:
        """Keep what is ticked through a change of the job; a closure whose state changed follows its state."""
        old = {one.id: one.state for one in before.loaded.job.closures}
        usual = default_offer(now.loaded.job)
        changed = {one.id for one in now.loaded.job.closures if old.get(one.id) is not one.state}
        ids = (one.id for one in now.loaded.job.closures)
        self.offered = frozenset(id for id in ids if id in (usual if id in changed else self.offered))

    @property
    def only(self) -> frozenset[str] | None:
        """The closures on offer, where they are not those that the job's file has."""
        session = self._session
        return None if session is None or self.offered == default_offer(session.loaded.job) else self.offered

    @property
    def is_stale(self) -> bool:
        """Whether the study shown is of another job, forecast or offer than stands now."""
        session = self._session
        return session is not None and self.study is not None and self._ground != self._ground_now(session)

    def _ground_now(self, session: Session) -> Ground:
        if self._digest[0] is not session.loaded:
            self._digest = session.loaded, digest_of(session.loaded)
        return Ground(self._digest[1], self.only)

    def offer(self, id: str, offered: bool) -> None:
        """Tick a closure as on offer, or no longer; no state is changed."""
        self.offered = self.offered | {id} if offered else self.offered - {id}
        self._recall()
        self.changed.emit()

    @property
    def offers_all(self) -> bool:
        """Whether just the closures that are not refused are on offer."""
        return self._session is not None and self.offered == default_offer(self._session.loaded.job)

    def turn_all(self) -> None:
        """Tick every closure that is not refused; where they are ticked, none."""
        if self._session is not None:
            self.offered = frozenset() if self.offers_all else default_offer(self._session.loaded.job)
            self._recall()
            self.changed.emit()

    def begin(self, plan: Plan | None, seconds: float) -> None:
        """Study what is on offer; with `plan`, look into that, and keep the stairs that are shown."""
        session = self._session
        if session is None or self.studying.busy:
            return
        self._stairs_of = self.study if plan is not None and not self.is_stale else None
        self._ground = self._ground_now(session)
        self.ended_words = ""
        self.studying.start(session, self.only, plan, self._plans(session), seconds)

    def _plans(self, session: Session) -> tuple[Plan, ...]:
        """Return the plans that a study may begin with: the one on the board, and those of the study shown."""
        standing = () if session.plan is None else (session.plan,)
        if self.study is None or self.is_stale:
            return standing
        steps = (*self.study.by_number.steps, *self.study.by_money.steps)
        return (*standing, *(step.plan for step in steps))

    def _recall(self) -> None:
        """Show the study that was made on what stands now, if there was one."""
        session = self._session
        if session is None or self.studying.busy:
            return
        ground = self._ground_now(session)
        if ground in self._known:
            self.study, self._ground = self._known[ground], ground

    def _seen(self, study: Study) -> None:
        stairs = self._stairs_of
        if stairs is not None:
            study = replace(study, by_number=stairs.by_number, by_money=stairs.by_money)
        self.study = study
        self.changed.emit()

    def _ended(self, end: End) -> None:
        self.ended_words = str(end) if end.outcome != "studied" or end.cancelled else ""
        if end.outcome == "studied" and self.study is not None and self._ground is not None:
            self._known[self._ground] = self.study
        self.ended.emit(end)
