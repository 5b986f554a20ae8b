"""Changes of the job from the window: a step of undo, refused with its faults, saved only when asked."""

from __future__ import annotations

from pathlib import Path

from pytestqt.qtbot import QtBot

from app.window import MainWindow

WAIT_MS = 20_000
RENAMED = {("job", "name"): "Three coats, once more"}


def change(own_window: MainWindow, qtbot: QtBot, changes: dict[tuple[str | int, ...], object]) -> None:
    own_window.editor.change("job renamed", changes)
    qtbot.waitUntil(lambda: not own_window.editor.busy, timeout=WAIT_MS)


def test_a_change_is_shown_and_undone_and_the_file_waits_for_save(
    own_window: MainWindow, qtbot: QtBot, own_file: Path
) -> None:
    before = own_file.read_text(encoding="utf-8")
    change(own_window, qtbot, RENAMED)
    assert own_window.header.job.text() == "Three coats, once more"
    assert own_window.isWindowModified()
    assert own_window.session is not None
    assert own_window.session.plan is not None
    assert own_file.read_text(encoding="utf-8") == before
    own_window.actions_by_name["undo"].trigger()
    assert own_window.header.job.text() == "Three coats on a plinth"
    assert not own_window.isWindowModified()
    own_window.actions_by_name["redo"].trigger()
    own_window.actions_by_name["save"].trigger()
    assert "Three coats, once more" in own_file.read_text(encoding="utf-8")
    assert not own_window.isWindowModified()
    assert not own_window.actions_by_name["save"].isEnabled()
    own_window.actions_by_name["undo"].trigger()
    assert own_window.isWindowModified()


def test_a_change_that_the_job_cannot_take_changes_nothing(own_window: MainWindow, qtbot: QtBot) -> None:
    session = own_window.session
    change(own_window, qtbot, {("gangs", 0, "size"): -2})
    assert own_window.session is session
    assert not own_window.isWindowModified()
    assert "size" in own_window.banner.text()


def test_a_file_changed_by_somebody_else_is_not_written_over(
    own_window: MainWindow, qtbot: QtBot, own_file: Path
) -> None:
    change(own_window, qtbot, RENAMED)
    theirs = own_file.read_text(encoding="utf-8") + "\n# theirs\n"
    own_file.write_text(theirs, encoding="utf-8")
    own_window.actions_by_name["save"].trigger()
    assert own_file.read_text(encoding="utf-8") == theirs
    assert own_window.isWindowModified()
    assert "changed by somebody else" in own_window.statusBar().currentMessage()


def test_changes_asked_for_at_once_are_all_made(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.editor.change("job renamed", RENAMED)
    own_window.editor.change("gang renamed", {("gangs", 0, "name"): "Coaters of the day"})
    qtbot.waitUntil(lambda: "gang" in own_window.mover.stack.undoText(), timeout=WAIT_MS)
    assert own_window.session is not None
    assert own_window.session.loaded.job.job.name == "Three coats, once more"
    assert own_window.session.loaded.job.gangs[0].name == "Coaters of the day"


def test_a_change_right_after_a_move_by_hand_is_made(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.mover.nudge("plinth/coat_2", 1, 1)
    change(own_window, qtbot, RENAMED)
    qtbot.waitUntil(lambda: own_window.header.job.text() == "Three coats, once more", timeout=WAIT_MS)
    assert own_window.session is not None
    assert own_window.session.by_hand
    own_window.actions_by_name["undo"].trigger()
    own_window.actions_by_name["undo"].trigger()
    assert not own_window.session.by_hand
