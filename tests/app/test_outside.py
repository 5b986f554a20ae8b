"""Somebody else at the same files: changes from outside are told, and a job that is open elsewhere is only read."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QLockFile
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.job_lock import JobLock, lock_file
from app.leaving import Answer
from app.settings import Settings
from app.window import MainWindow

WAIT_MS = 20_000
THEIRS = "\n# theirs\n"
RENAMED = {("job", "name"): "Three coats, once more"}
Press = Callable[[MainWindow, str, str], None]


@pytest.fixture
def press(qtbot: QtBot) -> Press:
    """Wait for a bar and press one of its buttons."""

    def pressed(window: MainWindow, name: str, words: str) -> None:
        qtbot.waitUntil(lambda: name in window.notices, timeout=WAIT_MS)
        next(button for button in window.notices[name].buttons if button.text() == words).click()

    return pressed


def rename(window: MainWindow, qtbot: QtBot) -> None:
    window.editor.change("job renamed", RENAMED)
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)


def change_from_outside(file: Path) -> str:
    """Change a file as most programs do: another file takes its place."""
    text = file.read_text(encoding="utf-8") + THEIRS
    other = file.with_name("other.part")
    other.write_text(text, encoding="utf-8")
    os.replace(other, file)
    return text


def test_a_change_is_told_and_mine_can_be_kept(
    own_window: MainWindow, qtbot: QtBot, own_file: Path, press: Press
) -> None:
    rename(own_window, qtbot)
    change_from_outside(own_file)
    press(own_window, "outside job", "Keep mine")
    assert own_window.isWindowModified()
    assert own_window.saver.save_job()
    assert "once more" in own_file.read_text(encoding="utf-8")
    assert THEIRS not in own_file.read_text(encoding="utf-8")
    with qtbot.waitSignal(own_window.outside.asker.answered, timeout=WAIT_MS):
        own_window.outside.look()
    assert "outside job" not in own_window.notices


def test_theirs_can_be_read(own_window: MainWindow, qtbot: QtBot, own_file: Path, press: Press) -> None:
    theirs = change_from_outside(own_file)
    with qtbot.waitSignal(own_window.planning.ended, timeout=WAIT_MS):
        press(own_window, "outside job", "Read it again")
    assert own_window.session is not None
    assert own_window.session.loaded.text == theirs
    assert "outside job" not in own_window.notices


def test_reading_theirs_asks_about_mine_first(
    own_window: MainWindow, qtbot: QtBot, own_file: Path, press: Press, monkeypatch: pytest.MonkeyPatch
) -> None:
    rename(own_window, qtbot)
    change_from_outside(own_file)
    with monkeypatch.context() as patch:
        patch.setattr("app.leaving.ask", lambda _parent, _lost: Answer.STAY)
        press(own_window, "outside job", "Read it again")
    assert own_window.header.job.text() == "Three coats, once more"


def test_mine_can_go_elsewhere(
    own_window: MainWindow,
    qtbot: QtBot,
    own_file: Path,
    tmp_path: Path,
    press: Press,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rename(own_window, qtbot)
    theirs = change_from_outside(own_file)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "mine.toml"), ""))
    press(own_window, "outside job", "Save mine elsewhere …")
    assert own_file.read_text(encoding="utf-8") == theirs
    assert "once more" in (tmp_path / "mine.toml").read_text(encoding="utf-8")
    assert not own_window.isWindowModified()


def test_a_refused_save_says_why_and_what_to_do(own_window: MainWindow, qtbot: QtBot, own_file: Path) -> None:
    own_window.outside._watcher.removePaths(own_window.outside._watcher.directories())
    own_window.outside._watcher.removePaths(own_window.outside._watcher.files())
    rename(own_window, qtbot)
    change_from_outside(own_file)
    assert not own_window.saver.save_job()
    qtbot.waitUntil(lambda: "outside job" in own_window.notices, timeout=WAIT_MS)


def test_a_file_that_went_away_can_be_written_again(
    own_window: MainWindow, qtbot: QtBot, own_file: Path, press: Press
) -> None:
    text = own_file.read_text(encoding="utf-8")
    own_file.unlink()
    press(own_window, "outside job", "Write it again")
    assert own_file.read_text(encoding="utf-8") == text


def test_a_changed_forecast_is_read_as_a_step_of_undo(
    qtbot: QtBot, settings: Settings, tmp_path: Path, press: Press
) -> None:
    samples = Path(__file__).resolve().parents[2] / "sample_jobs"
    job = Path(shutil.copy(samples / "harrow_beck_viaduct.toml", tmp_path))
    shutil.copytree(samples / "weather", tmp_path / "weather")
    window = MainWindow(settings, (sys.executable, "-m", "tests.app.fake_worker", "no-plan"))
    qtbot.addWidget(window)
    window.show()
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.open_job(job)
    assert window.session is not None
    file = tmp_path / str(window.session.loaded.job.forecast.hourly)
    before = float(window.session.loaded.series.air_c[5])
    qtbot.waitUntil(lambda: window.outside._known is not None, timeout=WAIT_MS)
    shutil.copy(samples / "weather" / "harrow_beck_late_thaw.csv", file)
    with qtbot.waitSignal(window.outside.reader.answered, timeout=WAIT_MS):
        press(window, "outside forecast", "Read it again")
    assert window.mover.stack.undoText() == "forecast read again"
    window.mover.stack.undo()
    assert float(window.session.loaded.series.air_c[5]) == before


def test_a_second_window_only_reads_and_says_who_writes(
    own_window: MainWindow,
    qtbot: QtBot,
    own_file: Path,
    tmp_path: Path,
    plan_file: Path,
    press: Press,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    second = MainWindow(own_window.settings, command)
    qtbot.addWidget(second)
    second.show()
    with qtbot.waitSignal(second.planning.ended, timeout=WAIT_MS):
        second.open_job(own_file)
    qtbot.waitUntil(lambda: "lock" in second.notices, timeout=WAIT_MS)
    assert second.read_only.is_so
    assert "own.toml is open since" in second.notices["lock"].words.text()
    before = own_file.read_text(encoding="utf-8")
    rename(second, qtbot)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "copy.toml"), ""))
    second.actions_by_name["save"].trigger()
    assert own_file.read_text(encoding="utf-8") == before
    assert "once more" in (tmp_path / "copy.toml").read_text(encoding="utf-8")
    qtbot.waitUntil(lambda: lock_file(tmp_path / "copy.toml").exists(), timeout=WAIT_MS)
    assert not second.read_only.is_so
    assert "lock" not in second.notices
    own_window.close()
    assert not lock_file(own_file).exists()


def test_who_is_gone_can_be_taken_over_from(
    own_window: MainWindow, own_file: Path, press: Press, qtbot: QtBot
) -> None:
    other = QLockFile(str(lock_file(own_file)))
    own_window.read_only.end()
    assert other.tryLock(0)
    own_window.read_only.begin(own_file)
    qtbot.waitUntil(lambda: own_window.read_only.is_so, timeout=WAIT_MS)
    with qtbot.waitSignal(own_window.read_only.asker.answered, timeout=WAIT_MS):
        press(own_window, "lock", "Write here all the same")
    assert not own_window.read_only.is_so
    assert own_window.read_only.lock.path == own_file.resolve()


def test_the_lock_of_a_dead_process_is_taken_over(own_file: Path) -> None:
    code = (
        "import os, sys; from PySide6.QtCore import QLockFile; lock = QLockFile(sys.argv[1]);"
        "assert lock.tryLock(0); os._exit(0)"
    )
    subprocess.run([sys.executable, "-c", code, str(lock_file(own_file))], check=True, timeout=60)
    assert lock_file(own_file).exists()
    lock = JobLock()
    lock.take(own_file)
    assert not lock.read_only
    lock.release()


def test_in_a_folder_that_can_not_be_written_the_job_is_read(own_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    refused = QLockFile.LockError.PermissionError
    kind = type("Refused", (QLockFile,), {"tryLock": lambda *_: False, "error": lambda _self: refused})
    monkeypatch.setattr("app.job_lock.QLockFile", kind)
    monkeypatch.setattr("app.job_lock.os.access", lambda _path, _mode: False)
    lock = JobLock()
    lock.take(own_file)
    assert lock.read_only
    assert lock.holder is None
