"""Hands out the plan shown as a numbered programme: asked for in a form, frozen in the job as one step of undo."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt

from app.finding_words import place_name
from app.issue_dialog import IssueDialog
from app.issue_words import elsewhere_issued, forecast_doubt, issue_name, standing_issue, too_early_words
from app.session import Session
from planner.findings import Weight
from planner.jobfile.issues import issue_changes, issue_plan, next_number

if TYPE_CHECKING:
    from app.window import MainWindow


class Issuing(QObject):
    """Asks and issues; the file on disk changes when the job is saved."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.dialog: IssueDialog | None = None

    def ask(self) -> None:
        """Show the form for the plan shown, unless it is issued already."""
        session = self._window.session
        if session is None or session.plan is None or not session.plan.placements:
            return
        standing = standing_issue(session)
        if standing is not None and standing is session.issued[-1] and elsewhere_issued(session) is None:
            self._window.tell(f"This programme is {issue_name(standing, session)} already")
            return
        now = self._window.clock()
        if too_early := too_early_words(session, now):
            self._window.tell(too_early)
            return
        dialog = IssueDialog(_heading(session), _breaches(session), forecast_doubt(session, now), self._window)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(lambda: self._issue(session, dialog))
        self.dialog = dialog
        dialog.open()

    def _issue(self, session: Session, dialog: IssueDialog) -> None:
        """Freeze what the form was shown for; refused where the plan changed meanwhile."""
        window, plan = self._window, session.plan
        if plan is None or window.session is not session:
            window.tell("Not issued: the plan changed meanwhile; issue it again.")
            return
        job, loaded = session.loaded.job, session.loaded
        series = replace(loaded.series, source=loaded.weather.source, issued=loaded.weather.issued)
        made = issue_plan(
            job,
            series,
            plan,
            window.clock(),
            issued_to=dialog.issued_to.text(),
            note=dialog.note.toPlainText(),
            despite=dialog.despite,
        )
        window.editor.change(f"issue {made.number}", issue_changes(job, made))


def _heading(session: Session) -> str:
    number = next_number(session.loaded.job)
    source = session.loaded.weather.source or "a forecast without a source"
    return f"Issue {number} of “{session.loaded.job.job.name[:120]}”, on the forecast: {source[:160]}"


def _breaches(session: Session) -> tuple[str, ...]:
    found = (one for one in session.findings if one.weight is Weight.BREACH)
    return tuple(f"{place_name(session, one.place)}: {one.words}" for one in found)
