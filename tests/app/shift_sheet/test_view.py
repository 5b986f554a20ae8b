"""The Shift sheet view: the sheet as printed and as text, empty days, printing, hostile names."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.session import open_session
from app.shift_sheet.turns import Turn
from app.shift_sheet.view import NO_PLAN, ShiftSheetView
from app.window import MainWindow

DAY = date(2027, 6, 8)


def shown(qtbot: QtBot, window: MainWindow) -> ShiftSheetView:
    """Return the view with a sheet on it."""
    view = window.pages["sheet"]
    assert isinstance(view, ShiftSheetView)
    window.actions_by_name["sheet"].trigger()
    qtbot.waitUntil(lambda: view.shown is not None and not view.drawer.busy, timeout=10_000)
    return view


def test_it_is_view_three_and_opens_on_a_shift_with_work(qtbot: QtBot, own_window: MainWindow) -> None:
    assert own_window.actions_by_name["sheet"].shortcut().toString() == "Ctrl+3"
    view = shown(qtbot, own_window)
    assert view.shown is not None
    assert view.shown.turn == Turn(DAY, "coaters")
    assert view.stack.currentWidget() is view.paper
    assert [label.accessibleName() for label in view.paper.labels] == ["Page 1 of 1"]
    assert "3 works" in view.bar.words.text()
    assert (view.bar.day.currentText(), view.bar.gang.currentText()) == ("Tue 8 Jun", "Coating gang")
    view.bar.as_text.click()
    assert view.stack.currentWidget() is view.text
    assert "RUNNING ORDER" in view.text.toPlainText()


def test_while_the_first_sheet_is_made_it_says_so_and_not_that_there_is_no_plan(
    qtbot: QtBot, own_window: MainWindow
) -> None:
    view = own_window.pages["sheet"]
    assert isinstance(view, ShiftSheetView)
    own_window.actions_by_name["sheet"].trigger()
    assert view.drawer.busy
    assert view.nothing.text() == "The sheet is being made …"
    assert view.stack.currentWidget() is view._empty
    qtbot.waitUntil(lambda: view.shown is not None and not view.drawer.busy, timeout=10_000)
    assert view.stack.currentWidget() is view.paper


def test_a_day_without_work_leads_to_the_next(qtbot: QtBot, own_window: MainWindow) -> None:
    view = shown(qtbot, own_window)
    view.bar.day.setCurrentIndex(1)
    view.bar.day.activated.emit(1)
    qtbot.waitUntil(lambda: not view.drawer.busy)
    assert view.nothing.text() == "Coating gang has no work on Wed 9 Jun, and none after it; last: Tue 8 Jun."
    assert not view.bar.print.isEnabled()
    view.go_on.click()
    qtbot.waitUntil(lambda: not view.drawer.busy)
    assert view.stack.currentWidget() is view.paper


@pytest.mark.parametrize("button", ["print", "day_print"])
def test_it_prints(
    qtbot: QtBot, own_window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, button: str
) -> None:
    view = shown(qtbot, own_window)
    path = tmp_path / "out.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    with qtbot.waitSignal(view.printer.answered, timeout=10_000):
        getattr(view.bar, button).click()
    text = " ".join(word for page in PdfReader(path).pages for word in page.extract_text().split())
    assert "Second coat" in text
    assert "1 page" in own_window.statusBar().currentMessage()


def test_what_cant_be_printed_is_said(
    qtbot: QtBot, own_window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = shown(qtbot, own_window)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "no" / "out.pdf"), ""))
    with qtbot.waitSignal(view.printer.failed, timeout=10_000):
        view.bar.print.click()
    assert own_window.statusBar().currentMessage() == "The sheet was not printed: No such file or directory"


def test_without_a_plan_it_says_how_to_get_one(qtbot: QtBot, own_file: Path) -> None:
    view = ShiftSheetView()
    qtbot.addWidget(view)
    view.show()
    view.show_session(open_session(own_file))
    assert view.nothing.text() == NO_PLAN
    assert not view.bar.print.isEnabled()
    view.close_all()


def test_names_are_plain_text(qtbot: QtBot, own_window: MainWindow) -> None:
    view = shown(qtbot, own_window)
    own_window.editor.change("rename", {("gangs", 0, "name"): "<img src='file:///etc/passwd'>\u202eX"})
    qtbot.waitUntil(lambda: "<img" in view.bar.gang.currentText(), timeout=10_000)
    qtbot.waitUntil(lambda: "<img src=" in view.text.toPlainText(), timeout=10_000)
    assert "\u202e" not in view.text.toPlainText()
    own_window.note_saved(own_window.session.loaded.text)
