"""A plan saved from the board comes back onto it; a file that doesn't fit changes nothing and says why."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.window import MainWindow

WAIT_MS = 20_000


def test_a_saved_plan_is_opened_again_as_a_step_of_undo(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    file = tmp_path / "moved.json"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(file), ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(file), ""))
    before = own_window.session
    own_window.mover.nudge("plinth/coat_2", 1, 2)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=WAIT_MS)
    assert own_window.session is not None
    assert own_window.session.plan is not None
    moved = own_window.session.plan.placements
    own_window.actions_by_name["save_plan"].trigger()
    own_window.mover.stack.undo()
    assert own_window.session is before
    with qtbot.waitSignal(own_window.plan_opening.asker.answered, timeout=WAIT_MS):
        own_window.actions_by_name["open_plan"].trigger()
    assert own_window.session is not None
    assert own_window.session.plan is not None
    assert own_window.session.plan.placements == moved
    assert own_window.session.gaps
    assert not own_window.header.changed.isVisible()
    assert own_window.statusBar().currentMessage() == "Plan from moved.json"
    own_window.actions_by_name["undo"].trigger()
    assert own_window.session is before


def test_a_proof_does_not_come_along_with_an_opened_plan(
    own_window: MainWindow, qtbot: QtBot, plan_file: Path
) -> None:
    assert "proved" in own_window.header.status.text()
    with qtbot.waitSignal(own_window.plan_opening.asker.answered, timeout=WAIT_MS):
        own_window.plan_opening.open(plan_file)
    assert "proved" not in own_window.header.status.text()
    assert own_window.header.status.text().endswith("works")


@pytest.mark.parametrize("text", ["{}", "no plan", '{"liftgap_plan": 1, "job": "<b>x</b>", "placements": []}'])
def test_what_is_no_plan_of_this_job_changes_nothing(
    own_window: MainWindow, qtbot: QtBot, tmp_path: Path, text: str
) -> None:
    file = tmp_path / "wrong.json"
    file.write_text(text, encoding="utf-8")
    before = own_window.session
    with qtbot.waitSignal(own_window.plan_opening.asker.failed, timeout=WAIT_MS):
        own_window.plan_opening.open(file)
    assert own_window.session is before
    assert own_window.banner.isVisible()
    assert own_window.banner.text().startswith("wrong.json was not opened as a plan of this job.")
    assert not own_window.mover.stack.canUndo()


def test_without_a_job_no_plan_is_opened(own_window: MainWindow) -> None:
    assert own_window.actions_by_name["open_plan"].isEnabled()
    own_window.stack.setCurrentWidget(own_window.wait)
    assert not own_window.actions_by_name["open_plan"].isEnabled()
