"""The Closures view: the stairs of finish against closures, the job's closures, and what each is worth."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime

from PySide6.QtWidgets import QWidget

from app.board.kit import Kit
from app.closures.bar import ClosureBar
from app.closures.question import Question
from app.closures.rows import ClosureRow, closure_rows, closure_sections, no_plan_sections
from app.closures.sending import Clock, Sending
from app.closures.side import ClosureSide
from app.closures.stairs import StairStep, stairs_of
from app.closures.stairs_view import StairsView
from app.closures.step_words import (
    NO_CLOSURES,
    NOTHING_SELECTED,
    offer_words,
    status_words,
    step_sections,
)
from app.closures.studying import WORKER, End
from app.closures.table import ClosureTableView
from app.closures.table_model import ClosureTable
from app.job_view import JobView
from app.layouts import ACROSS, DOWN, parted, stack_up
from app.session import Session, of_another_plan, with_placed
from app.settings import Settings
from app.tasks import Asker
from planner.closures.messages import Said
from planner.closures.words import closures_words
from planner.closures.work_inside import work_inside
from planner.model import ClosureState, Plan

_SIDE_PX = 330


class ClosuresView(JobView):
    """Asks nobody: the window sets the session, and listens to what is wanted."""

    def __init__(
        self,
        kit: Kit,
        settings: Settings,
        command: Sequence[str] = WORKER,
        clock: Clock = lambda: datetime.now(UTC),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.settings = settings
        self.session: Session | None = None
        self.question = Question(self, command)
        self.sending = Sending(self, clock)
        self.taker = Asker(self)
        self._build(kit)
        self._connect()
        self.setAccessibleName("Closures")

    # --- parts

    def _build(self, kit: Kit) -> None:
        self.kit = kit
        self.bar = ClosureBar()
        self.bar.seconds.setValue(self.settings.study_seconds)
        self.stairs = StairsView(kit)
        self.model = ClosureTable(self)
        self.table = ClosureTableView(self.model)
        self.side = ClosureSide(kit)
        middle = parted(DOWN, (self.stairs, self.table), (270, 300))
        split = parted(ACROSS, (middle, self.side), (1036, _SIDE_PX), grows=0)
        stack_up(self, self.bar, split, grows=split)

    def _connect(self) -> None:
        self.bar.study.clicked.connect(self.start)
        self.bar.stop.clicked.connect(self.question.studying.cancel)
        self.bar.all.clicked.connect(self.question.turn_all)
        self.bar.show_it.clicked.connect(self._look_at_selected)
        self.bar.take.clicked.connect(self._take_selected)
        self.bar.look.clicked.connect(self._look_into_selected)
        for kind, button in zip(("xlsx", "pdf", "ics"), self.bar.sends, strict=False):
            button.clicked.connect(lambda _checked=False, kind=kind: self.send(kind))
        self.bar.copy.clicked.connect(self.copy)
        self.table.copy_wanted.connect(self.copy)
        self.table.selectionModel().selectionChanged.connect(lambda *_: self._closure_selected())
        self.model.state_wanted.connect(self.want_state)
        self.model.offer_changed.connect(self.question.offer)
        self.stairs.step_selected.connect(lambda _step: self._say())
        self.stairs.step_taken.connect(self.take)
        self.side.operation_chosen.connect(self.operation_wanted)
        self.question.changed.connect(self.renew_seen)
        self.question.ended.connect(self._answered)
        self.question.studying.said.connect(self._said)
        self.question.studying.failed.connect(self._not_read)
        self.sending.told.connect(self.told)
        self.taker.answered.connect(lambda found: found[0](*found[1:]))
        self.taker.failed.connect(lambda error: self.told.emit(f"The plan can't be put on the board: {error}"))

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key."""
        return self.table, self.stairs, self.side.words, self.side.work

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.kit = kit
        self.stairs.set_kit(kit)
        self.side.set_kit(kit)
        self.renew_seen()

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.question.studying.close()
        for asker in (self.sending.asker, self.taker):
            asker.close()

    # --- session

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened."""
        self.question.open(session)
        self.stairs.select(None)
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        """Show the same job with another plan, forecast or wording; a study that fits it again is shown again."""
        self.session = session
        self.question.renew(session)
        self.renew_seen()

    # --- asking

    def start(self) -> None:
        """Study the closures that are on offer."""
        self._begin(None)

    def _look_into_selected(self) -> None:
        """Look into the step selected; where none is, into the plan on the board."""
        if self.stairs.selected is not None:
            self._begin(self.stairs.selected.step.plan)
        elif self.session is not None and self.session.plan is not None:
            self._begin(self.session.plan)

    def _begin(self, plan: Plan | None) -> None:
        seconds = self.bar.seconds.value()
        self.settings.study_seconds = seconds
        self.bar.progress.setRange(0, seconds * 10)
        self.bar.progress.setValue(0)
        self.question.begin(plan, float(seconds))
        self._say()

    def _said(self, message: Said) -> None:
        self.bar.progress.setValue(int(message.seconds * 10))
        self.bar.status.setText(f"{message.words[:1].upper()}{message.words[1:]} …")

    def _answered(self, end: End) -> None:
        self.told.emit(f"Closures: {end}")
        self.renew_seen()

    def want_state(self, ids: tuple[str, ...], state: ClosureState) -> None:
        """Change the state of closures in the job, as one step of undo."""
        if self.session is None:
            return
        places = {one.id: place for place, one in enumerate(self.session.loaded.job.closures)}
        wanted = [id for id in ids if self.session.loaded.job.closure(id).state is not state]
        if wanted:
            what = f"closure {wanted[0]}" if len(wanted) == 1 else closures_words(len(wanted))
            self.change_wanted.emit(
                f"{what} {state.value}", {("closures", places[id], "state"): state.value for id in wanted}
            )

    def _not_read(self, error: Exception) -> None:
        self.told.emit(f"A part of the study could not be read: {error}")

    # --- taking and sending

    def take(self, step: StairStep) -> None:
        """Put a step's plan on the board, audited on the job as it stands now."""
        self._ask_for(step, self._taken)

    def _look_at_selected(self) -> None:
        """Show the plan of the step selected on the board, without taking it."""
        if self.stairs.selected is not None:
            self._ask_for(self.stairs.selected, self._looked_at)

    def _ask_for(self, step: StairStep, then: Callable[[str, Session, Session], object]) -> None:
        """Make the session with a step's plan, off the window's thread, and do with it what is to be done."""
        session = self.session
        if session is not None:
            plan = step.step.plan
            words = f"plan with {closures_words(len(step.step.closures))}"
            made = of_another_plan(session, taken=True, proved=not self.question.is_stale)
            self.taker.ask(lambda: (then, words, session, with_placed(made, plan)))

    def _looked_at(self, words: str, before: Session, after: Session) -> None:
        if self.session is before:
            self.look_wanted.emit(words, after, lambda: self._taken(words, before, after))

    def _take_selected(self) -> None:
        if self.stairs.selected is not None:
            self.take(self.stairs.selected)

    def _taken(self, words: str, before: Session, after: Session) -> None:
        if self.session is before:
            self.step_wanted.emit(words, after)
            self.told.emit(f"On the board: {words}")
        else:
            self.told.emit("The job changed meanwhile; take the plan again")

    def send(self, kind: str) -> None:
        """Write the request list into a file."""
        if self.session is not None:
            self.sending.send(kind, self.session, self.question.study, self.bar.ours.isChecked())

    def copy(self) -> None:
        """Put the request list on the clipboard."""
        if self.session is not None:
            self.sending.copy(self.session, self.question.study, self.bar.ours.isChecked())

    # --- showing

    def bring_up_to_date(self) -> None:
        session = self.session
        if session is None:
            return
        job = session.loaded.job
        self.stairs.show_stairs(stairs_of(self.question.study, job, session.plan), session.facts.time)
        self.model.show_rows(
            closure_rows(session, self.question.study, self.question.offered), self.kit.theme, self.question.is_stale
        )
        self.stairs.setVisible(bool(job.closures))
        self._say()

    def _closure_selected(self) -> None:
        if self.stairs.selected is not None and self.table.selected_ids:
            self.stairs.select(None)
        self._say()

    @property
    def row(self) -> ClosureRow | None:
        """The closure selected in the table."""
        ids = self.table.selected_ids
        return next((row for row in self.model.rows if ids and row.id == ids[0]), None)

    def _say(self) -> None:
        """Say what is selected and how the study stands, and allow what can be done."""
        session = self.session
        if session is None:
            return
        busy, job = self.question.studying.busy, session.loaded.job
        step, row = self.stairs.selected, self.row
        if not busy:
            self.bar.status.setText(
                status_words(self.question.study, self.question.ended_words, self.question.is_stale)
            )
        self.bar.offer.setText(offer_words(job, self.question.offered))
        self.bar.progress.setVisible(busy)
        self.bar.study.setEnabled(bool(job.closures) and not busy)
        self.bar.all.setEnabled(bool(job.closures))
        self.bar.say_all(self.question.offers_all)
        self.bar.stop.setEnabled(busy)
        self.bar.take.setEnabled(step is not None)
        self.bar.show_it.setEnabled(step is not None)
        standing = session.plan is not None and bool(session.plan.closures_used)
        self.bar.look.setText("&Look into it" if step is not None else "&Look into the board's plan")
        self.bar.look.setEnabled((step is not None or standing) and not busy)
        for button in (*self.bar.sends, self.bar.ours):
            button.setEnabled(bool(job.closures) and (session.plan is not None or self.question.study is not None))
        if not job.closures:
            self.side.show_words("Closures", NO_CLOSURES)
            self.side.show_work("Work in it", (), job)
        elif step is not None:
            self._say_step(session, step)
        elif row is not None:
            self.side.show_words(row.name, closure_sections(session, self.question.study, row))
            self.side.show_work("Work in it, on the board", row.inside, job)
        else:
            why = no_plan_sections(self.question.study)
            self.side.show_words("No plan" if why else "Closures", why or NOTHING_SELECTED)
            self.side.show_work("Work in it", (), job)

    def _say_step(self, session: Session, step: StairStep) -> None:
        known = {one.id for one in session.loaded.job.closures}
        recommended = self.question.study.recommended if self.question.study is not None else None
        looked_into = recommended is not None and recommended.closures == step.step.closures
        self.side.show_words(
            f"A plan with {closures_words(len(step.step.closures))}", step_sections(session, step.step, looked_into)
        )
        job = session.loaded.job
        work = [one for id in step.step.closures if id in known for one in work_inside(job, step.step.plan, id)]
        self.side.show_work("Work in its closures", work, job)
