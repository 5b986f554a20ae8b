"""The findings panel says in a line whether anything is broken; how much advice there is stands under it, uncut."""

from __future__ import annotations

from dataclasses import replace

from pytestqt.qtbot import QtBot

from app.window import MainWindow
from planner.findings import Finding, Weight

CODES = ("not-recorded", "freezing", "cold-placing", "forecast-note")


def test_the_title_is_one_line_however_many_kinds_of_advice_there_are(own_window: MainWindow, qtbot: QtBot) -> None:
    panel, session = own_window.findings, own_window.session
    assert session is not None
    advice = tuple(Finding(code, "plinth/prime", "", "found", 40, Weight.ADVICE) for code in CODES)
    broken = Finding("gap-late", "plinth/prime", "sooner", "late", 40)
    panel.show_session(replace(session, findings=(broken, *advice)))
    qtbot.waitUntil(lambda: panel.title.height() >= panel.title.heightForWidth(panel.title.width()))
    assert panel.title.text() == "Audit: 1 breach"
    assert panel.quiet.text().startswith("This plan may not be worked as it stands. 1 ")
    assert "1 start overdue" in panel.quiet.text()
    assert panel.quiet.height() >= panel.quiet.heightForWidth(panel.quiet.width())
    panel.show_session(replace(session, findings=()))
    assert panel.title.text() == "Audit clean"
