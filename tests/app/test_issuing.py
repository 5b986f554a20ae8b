"""Programmes issued from the window: numbered, told in the header, refused while broken, shown when opened again."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.issue_dialog import IssueDialog
from app.issue_words import forecast_doubt
from app.window import MainWindow
from planner.jobfile.load import load_job

WAIT_MS = 20_000


def ask(window: MainWindow) -> IssueDialog:
    window.actions_by_name["issue"].trigger()
    dialog = window.issuing.dialog
    assert dialog is not None
    return dialog


def issue(window: MainWindow, qtbot: QtBot, note: str = "", reason: str = "") -> None:
    dialog = ask(window)
    dialog.note.setPlainText(note)
    dialog.reason.setPlainText(reason)
    dialog.issue.click()
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)


def status(window: MainWindow) -> str:
    return window.header.status.toolTip() or window.header.status.text()


def move_last(window: MainWindow, qtbot: QtBot, slots: int) -> None:
    assert window.session is not None
    assert window.session.plan is not None
    last = max(window.session.plan.placements, key=lambda one: one.start)
    window.mover.nudge(last.operation, last.visit, slots)
    qtbot.waitUntil(lambda: not window.mover.asker.busy, timeout=WAIT_MS)


def test_an_issue_is_a_step_of_undo_and_the_header_says_it(
    own_window: MainWindow, qtbot: QtBot, own_file: Path
) -> None:
    before = own_file.read_bytes()
    assert "ssue" not in own_window.header.status.text()
    issue(own_window, qtbot, "First")
    assert own_window.header.status.text().startswith("Issue 1 of Wed 9 Jun")
    assert own_file.read_bytes() == before
    move_last(own_window, qtbot, 1)
    assert own_window.header.status.text().startswith("changed since issue 1")
    issue(own_window, qtbot)
    assert own_window.header.status.text().startswith("Issue 2 of Wed 9 Jun")
    assert not own_window.leaving.plan_unsaved
    own_window.actions_by_name["save"].trigger()
    assert [one.number for one in load_job(own_file).job.issues] == [1, 2]
    for _ in range(3):
        own_window.actions_by_name["undo"].trigger()
    assert own_window.session is not None
    assert own_window.session.issued == ()


def test_the_same_programme_is_not_issued_twice(own_window: MainWindow, qtbot: QtBot) -> None:
    issue(own_window, qtbot)
    own_window.issuing.dialog = None
    own_window.actions_by_name["issue"].trigger()
    assert own_window.issuing.dialog is None
    assert "Issue 1 of Wed 9 Jun already" in own_window.statusBar().currentMessage()


def test_a_broken_programme_needs_a_reason(own_window: MainWindow, qtbot: QtBot) -> None:
    move_last(own_window, qtbot, 40)
    dialog = ask(own_window)
    assert not dialog.issue.isEnabled()
    assert "breach" in dialog.breaches.text()
    dialog.reason.setPlainText("  ")
    assert not dialog.issue.isEnabled()
    dialog.reason.setPlainText("agreed with the engineer")
    dialog.issue.click()
    qtbot.waitUntil(lambda: not own_window.editor.busy, timeout=WAIT_MS)
    assert own_window.session is not None
    assert own_window.session.issued[0].issue.despite == "agreed with the engineer"


def test_opening_again_shows_the_last_issue_and_plans_nothing(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    move_last(own_window, qtbot, 1)
    assert own_window.session is not None
    plan = own_window.session.plan
    assert plan is not None
    issue(own_window, qtbot)
    own_window.actions_by_name["save"].trigger()
    monkeypatch.setattr(own_window.runs, "start", lambda: pytest.fail("it planned anew"))
    with qtbot.waitSignal(own_window.opening.asker.answered, timeout=WAIT_MS):
        own_window.actions_by_name["reopen"].trigger()
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    assert session.plan.placements == plan.placements
    assert own_window.header.status.text().startswith("Issue 1 of Wed 9 Jun")
    assert own_window.actions_by_name["save_plan"].isEnabled()


def test_a_plan_that_changed_meanwhile_is_not_issued(own_window: MainWindow, qtbot: QtBot) -> None:
    dialog = ask(own_window)
    move_last(own_window, qtbot, 1)
    dialog.issue.click()
    assert own_window.session is not None
    assert own_window.session.issued == ()
    assert "changed meanwhile" in own_window.statusBar().currentMessage()


def test_a_clock_that_stands_before_the_last_issue_issues_nothing(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    issue(own_window, qtbot)
    move_last(own_window, qtbot, 1)
    now = own_window.clock()
    monkeypatch.setattr(own_window, "clock", lambda: now - timedelta(days=1))
    own_window.issuing.dialog = None
    own_window.actions_by_name["issue"].trigger()
    assert own_window.issuing.dialog is None
    assert "but issue 1 is of Wed 9 Jun" in own_window.statusBar().currentMessage()


def test_a_forecast_made_later_than_the_clock_says_is_told(own_window: MainWindow) -> None:
    session = own_window.session
    assert session is not None
    made = session.loaded.weather.issued or own_window.clock()
    weather = replace(session.loaded.weather, issued=made)
    later = replace(session, loaded=replace(session.loaded, weather=weather))
    assert forecast_doubt(later, made) == ""
    assert "later than this machine's clock says" in forecast_doubt(later, made - timedelta(minutes=1))
