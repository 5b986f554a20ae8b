"""Before a job is left: what is not saved is named, and the user says what becomes of it."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from app.issue_words import standing_issue
from app.status_words import unsaved_words
from planner.model import Aim, Plan, PlanStatus
from planner.weather.series import same_weather

if TYPE_CHECKING:
    from app.window import MainWindow


class Answer(Enum):
    """What becomes of unsaved work."""

    SAVE = "save"
    DISCARD = "discard"
    STAY = "stay"


def ask(parent: QWidget, lost: Sequence[str]) -> Answer:
    """Ask what becomes of what is not saved; a closed question means to stay."""
    box = QMessageBox(QMessageBox.Icon.NoIcon, "Not saved yet", "\n".join(lost), parent=parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setInformativeText("Save it before you leave this job?")
    save = box.addButton("&Save", QMessageBox.ButtonRole.AcceptRole)
    discard = box.addButton("&Don't save", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("&Cancel", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.setEscapeButton(stay)
    box.exec()
    return {save: Answer.SAVE, discard: Answer.DISCARD}.get(box.clickedButton(), Answer.STAY)


class Leaving:
    """Lets nothing be lost unasked when the window shuts or another job takes the open one's place."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self.asks = True
        """Whether somebody is there to be asked; not where the system ends the program."""

    @property
    def plan_unsaved(self) -> bool:
        """Whether the plan is in no file, and planning again would not simply make it again.

        It would not where the plan was moved by hand or taken in a view, where it keeps to an older plan, where the
        next start shows the programme issued last instead, and where it is only the best found in the time given.
        """
        session, kept = self._window.session, self._window.saver.kept_plan
        if session is None or session.plan is None:
            return False
        chosen = session.by_hand or session.taken or bool(session.issued) or session.plan.aim is Aim.CHANGE
        if not chosen and _is_made_again(session.plan):
            return False
        in_file = kept is not None and kept.placements == session.plan.placements
        return not in_file and standing_issue(session) is None

    @property
    def forecast_unsaved(self) -> bool:
        """Whether a forecast stands in for the job's own that is in no file of the user's, and frozen in no issue."""
        session = self._window.session
        standing = session.weather_file if session is not None and not session.own_weather else None
        if session is None or standing is None or self._window.weather.keeping.is_kept(standing):
            return False
        return not any(same_weather(one.series, session.loaded.series) for one in session.issued)

    def mark(self) -> None:
        """Mark in the window what is in no file yet, of the job, the plan and the forecast."""
        window = self._window
        by_hand = window.session is not None and window.session.by_hand
        words, tip = unsaved_words(window.unsaved, self.plan_unsaved, self.forecast_unsaved, by_hand)
        window.setWindowModified(bool(words))
        window.header.set_unsaved(words, tip)

    def may_leave(self) -> bool:
        """Say whether the open job can be left; asks where something would be lost."""
        lost = self.lost()
        if not lost or not self.asks:
            return True
        return self._is_settled(ask(self._window, lost)) or not self.asks  # it may have been told to end meanwhile

    def _is_settled(self, answer: Answer) -> bool:
        """Do what was answered; say whether the job can be left then."""
        match answer:
            case Answer.SAVE:
                return self._save()
            case Answer.DISCARD:
                self._forget()
                return True
            case Answer.STAY:
                return False

    def _save(self) -> bool:
        window = self._window
        if window.unsaved and not window.saver.save_job():
            return False
        if self.plan_unsaved and not window.saver.save_plan():
            return False
        if self.forecast_unsaved and not self._save_forecast():
            return False
        for name, view in window.pages.items():
            if view.unsaved:
                window.views.show(name)
                window.tell(view.unsaved)
                return False
        return not window.editor.busy

    def _save_forecast(self) -> bool:
        window, session = self._window, self._window.session
        if session is None:
            return True
        return window.weather.keeping.save_as(session.loaded.series, window.folder, session.weather_file)

    def _forget(self) -> None:
        """Take it that nothing is to be saved."""
        window = self._window
        window.editor.forget()
        if window.session is not None:
            window.saved_text, window.saver.kept_plan = window.session.loaded.text, window.session.plan

    @property
    def _otherwise(self) -> str:
        """What else there is to know of a plan that nobody moved: planning again may not come to it."""
        session = self._window.session
        if (
            session is None
            or session.plan is None
            or session.by_hand
            or session.taken
            or _is_made_again(session.plan)
        ):
            return ""
        return ", and planning again may find another"

    def lost(self) -> list[str]:
        """Return what would be lost, a line each."""
        window = self._window
        if window.session is None:
            return []
        lines = []
        if window.unsaved or window.editor.busy:
            lines.append(f"{window.session.loaded.path.name} has changes that are not saved.")
        if self.plan_unsaved:
            moved = "was moved by hand and" if window.session.by_hand else "shown"
            lines.append(f"The plan {moved} is in no file{self._otherwise}.")
        if self.forecast_unsaved:
            lines.append("The forecast under the plan is not the job's own, and in no file of yours.")
        return [*lines, *(view.unsaved for view in window.pages.values() if view.unsaved)]


def _is_made_again(plan: Plan) -> bool:
    """Say whether planning stops at a plan by a proof; one that time ended may come out otherwise the next time."""
    return plan.status is PlanStatus.OPTIMAL and len(plan.then) == 0
