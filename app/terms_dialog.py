"""What the plan on the board comes to, term by term, each beside what no plan of the job goes below."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QLabel, QTableWidget, QTableWidgetItem, QWidget

from app.dialog import Dialog
from app.floors import FloorsAsker
from app.plain_buttons import Standard, plain_buttons
from app.session import Session
from planner.audit.terms import plan_terms
from planner.cli.term_table import term_rows
from planner.model import Aim, Floors, Plan

if TYPE_CHECKING:
    from app.window import MainWindow

_SIZE_PX = (620, 430)
_HEADS = ("Term", "This plan", "No plan goes below")
_ABOUT = (
    "“Proved least”: no plan of this job on this forecast has less. Otherwise the last column says what is known "
    "that no plan goes below; between the two there may be a better plan, or none."
)
_WAITING = "being worked out …"
_VAIN = "What no plan goes below could not be worked out."


class TermsDialog(Dialog):
    """Shows the terms at once, and beside them what no plan goes below as soon as that is worked out."""

    def __init__(self, session: Session, plan: Plan, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("What the plan comes to")
        self._session, self._plan = session, plan
        self._terms = plan_terms(session.loaded.job, session.loaded.weather, plan)
        about = f"{_ABOUT} Money in {session.loaded.job.job.currency}."
        self.said = QLabel(about, objectName="quiet", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.table = _table()
        self.buttons = plain_buttons(Standard.Close)
        self.buttons.rejected.connect(self.reject)
        layout = self.lines()
        layout.addWidget(self.said)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.buttons)
        self.open_at(*_SIZE_PX)
        self.asker = FloorsAsker(self)
        self.asker.found.connect(self._found)
        self.finished.connect(self.asker.close)
        if plan.floors is None:
            self._show(Floors(finish_days=0.0), _WAITING)
            self.asker.ask(session)
        else:
            self._show(plan.floors)

    def _found(self, floors: Floors | None) -> None:
        if floors is None:
            self.said.setText(_VAIN)
            self._show(Floors(finish_days=0.0), "nothing known")
        else:
            self._show(floors if not self._session.proved_here else proved_too(floors, self._plan))

    def _show(self, floors: Floors, instead: str = "") -> None:
        """Show the rows; instead: what to say in place of the last column."""
        rows = term_rows(self._session.loaded.job, replace(self._plan, floors=floors), self._terms)
        self.table.setRowCount(len(rows))
        for number, row in enumerate(rows):
            words = (row[0][:1].upper() + row[0][1:], row[1], instead or row[2])
            for column, text in enumerate(words):
                item = QTableWidgetItem(text)
                item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                if column == 1:
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self.table.setItem(number, column, item)


def proved_too(floors: Floors, plan: Plan) -> Floors:
    """Return the floors with what the search for the plan has shown of its first aim."""
    if plan.aim is Aim.FINISH:
        return replace(floors, finish_days=max(floors.finish_days or 0.0, plan.bound))
    if plan.aim is Aim.CLOSURES:
        return replace(floors, closures=max(floors.closures or 0.0, plan.bound))
    if plan.aim is Aim.COST and not plan.worths:
        return replace(floors, cost=max(floors.cost or 0.0, plan.bound))
    return floors


def _table() -> QTableWidget:
    table = QTableWidget(0, len(_HEADS), accessibleName="Terms of the plan")
    table.setHorizontalHeaderLabels(_HEADS)
    table.verticalHeader().hide()
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setTabKeyNavigation(False)
    head, mode = table.horizontalHeader(), QHeaderView.ResizeMode
    head.setSectionResizeMode(mode.ResizeToContents)
    table.verticalHeader().setSectionResizeMode(mode.ResizeToContents)
    head.setSectionResizeMode(len(_HEADS) - 1, mode.Stretch)
    return table


class TermsChoice(QObject):
    """Shows the terms of the plan on the board."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.dialog: TermsDialog | None = None

    def show(self, over: QWidget | None = None) -> None:
        """Show them, where there is a plan; over: another dialog."""
        session = self._window.session
        if session is None or session.plan is None or not session.plan.placements:
            return
        dialog = TermsDialog(session, session.plan, over or self._window)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.dialog = dialog
        dialog.open()
