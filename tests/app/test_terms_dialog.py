"""The table of terms: what the plan on the board comes to, and what no plan goes below."""

from __future__ import annotations

from dataclasses import replace

from pytestqt.qtbot import QtBot

from app.terms_dialog import TermsDialog, proved_too
from app.window import MainWindow
from planner.audit.terms import plan_terms
from planner.model import Aim, Floors

WAIT_MS = 60_000


def shown(dialog: TermsDialog) -> dict[str, tuple[str, str]]:
    """Return the table's rows by term."""
    cells = [
        [item.text() for item in (dialog.table.item(row, column) for column in range(3)) if item is not None]
        for row in range(dialog.table.rowCount())
    ]
    return {name: (value, floor) for name, value, floor in cells}


def opened(window: MainWindow) -> TermsDialog:
    window.actions_by_name["terms"].trigger()
    dialog = window.aims.terms.dialog
    assert dialog is not None
    return dialog


def test_terms_are_there_at_once_and_their_floors_when_they_are_known(own_window: MainWindow, qtbot: QtBot) -> None:
    dialog = opened(own_window)
    with qtbot.waitSignal(dialog.asker.found, timeout=WAIT_MS):
        first = shown(dialog)
    assert {floor for _, floor in first.values()} == {"being worked out …"}
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    terms = plan_terms(session.loaded.job, session.loaded.weather, session.plan)
    then = shown(dialog)
    assert then["Finish"][1] == "proved least"
    assert then["Cost in all"][0] == f"{terms.cost:,.2f}"
    assert {name: value for name, (value, _) in first.items()}.items() <= {
        name: value for name, (value, _) in then.items()
    }.items()
    dialog.close()


def test_it_may_be_closed_before_the_answer(own_window: MainWindow) -> None:
    dialog = opened(own_window)
    asker = dialog.asker
    dialog.reject()
    assert not asker._child.busy


def test_it_is_reached_from_the_form_beside_plan_for(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.header.aims.more.click()
    form = own_window.aims.dialog
    assert form is not None
    form.terms.click()
    dialog = own_window.aims.terms.dialog
    assert dialog is not None
    assert dialog.isVisible()
    dialog.reject()
    form.reject()


def test_what_the_search_has_proved_counts_too(own_window: MainWindow) -> None:
    assert own_window.session is not None
    plan = own_window.session.plan
    assert plan is not None
    floors = Floors(finish_days=0.5, closures=0, cost=1.0)
    assert proved_too(floors, replace(plan, aim=Aim.FINISH, bound=0.75)).finish_days == 0.75
    assert proved_too(floors, replace(plan, aim=Aim.CLOSURES, bound=2.0)).closures == 2.0
    assert proved_too(floors, replace(plan, aim=Aim.COST, bound=0.25)).cost == 1.0
    assert proved_too(floors, replace(plan, aim=Aim.CHANGE, bound=9.0)) == floors
