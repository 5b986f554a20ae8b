"""Unsaved work outlives a crash: a real process is killed, and what it had is taken up again or left."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.recovery import find_left, unsaved_folder
from app.settings import Settings
from app.unsaved_store import Found, Unsaved, file_name, leave, read, write
from app.window import MainWindow

ROOT = Path(__file__).resolve().parents[2]
WAIT_MS = 20_000
DYING = """
import sys
from pathlib import Path
from PySide6.QtCore import QSettings, QTimer
from app.orderly_end import OrderlyEnd
from app.settings import Settings
from app.start import make_application
from app.unsaved_store import read
from app.window import MainWindow

job, plan, ini = sys.argv[1:]
application = make_application()
command = (sys.executable, "-m", "tests.app.fake_worker", "proved", plan)
window = MainWindow(Settings(QSettings(ini, QSettings.Format.IniFormat)), command)
OrderlyEnd(window)
window.show()
window.recovery.timer.setInterval(30)

def move(*_):
    window.mover.nudge(window.session.plan.placements[-1].operation, 1, 1)

def change(*_):
    window.editor.change("job renamed", {("job", "name"): "Not in the file"})

def say():
    if read(window.recovery.file).name == "Not in the file":
        print(window.recovery.file, flush=True)

window.planning.ended.connect(move)
window.mover.asker.answered.connect(change)
window.recovery.asker.answered.connect(say)
window.open_job(Path(job))
QTimer.singleShot(30_000, application.quit)
application.exec()
"""


def kept() -> Unsaved:
    return Unsaved("/jobs/a.toml", "A", "old", "new", None, False, "", "", "2026-11-25T12:03:00+00:00")


def left_on_welcome(window: MainWindow) -> dict[str, list[QPushButton]]:
    """Return the buttons of what the welcome page lists as not saved, by the words about it."""
    found: dict[str, list[QPushButton]] = {}
    for button in window.welcome.findChildren(QPushButton):
        if button.isVisible() and button.accessibleDescription():
            found.setdefault(button.accessibleDescription(), []).append(button)
    return found


def ended(program: str, files: Iterable[Path], by: signal.Signals) -> int:
    """Run a window until it says that its work is kept, send it the signal, and return its exit code."""
    words = [sys.executable, "-c", program, *map(str, files)]
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, text=True) as dying:
        assert dying.stdout is not None
        assert dying.stdout.readline().strip().endswith(".json")
        dying.send_signal(by)
        return dying.wait(20)


@pytest.fixture
def killed(own_file: Path, plan_file: Path, tmp_path: Path) -> Path:
    """Kill a window in the middle of its work; return the job that was open."""
    assert ended(DYING, (own_file, plan_file, tmp_path / "dying.ini"), signal.SIGKILL) == -signal.SIGKILL
    return own_file


@pytest.fixture
def new_window(qtbot: QtBot, settings: Settings, plan_file: Path) -> Callable[[], MainWindow]:
    def made() -> MainWindow:
        command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
        window = MainWindow(settings, command)
        qtbot.addWidget(window)
        window.show()
        return window

    return made


def test_after_kill_9_the_work_is_taken_up_again(
    killed: Path, new_window: Callable[[], MainWindow], qtbot: QtBot
) -> None:
    before = killed.read_text(encoding="utf-8")
    assert "Not in the file" not in before
    window = new_window()
    qtbot.waitUntil(lambda: left_on_welcome(window) != {}, timeout=WAIT_MS)
    assert "left" not in window.notices
    [words] = left_on_welcome(window)
    path = Path(json.loads(find_left()[0].file.read_text(encoding="utf-8"))["path"])
    which = f"“Not in the file” ({path.name} in "
    assert f"ended unexpectedly while {which}" in words
    assert path.parent.name in words
    with qtbot.waitSignal(window.opening.asker.answered, timeout=WAIT_MS):
        left_on_welcome(window)[words][0].click()
    assert window.session is not None
    assert window.session.plan is not None
    assert window.session.by_hand
    assert window.header.job.text() == "Not in the file"
    assert window.isWindowModified()
    assert window.leaving.plan_unsaved
    assert not window.planning.busy
    assert killed.read_text(encoding="utf-8") == before
    window.actions_by_name["save"].trigger()
    assert "Not in the file" in killed.read_text(encoding="utf-8")
    window.close()
    assert list(unsaved_folder().glob("*.json")) == []


def test_opening_the_job_offers_it_too_and_left_work_is_put_aside(
    own_file: Path, new_window: Callable[[], MainWindow], qtbot: QtBot
) -> None:
    write(unsaved_folder() / file_name(own_file, "9-9"), replace(kept(), path=str(own_file)))
    write(unsaved_folder() / file_name(own_file.with_name("b.toml"), "9-9"), kept())
    window = new_window()
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.open_job(own_file)
    qtbot.waitUntil(lambda: "left" in window.notices, timeout=WAIT_MS)
    assert "newest" not in window.notices["left"].words.text()
    assert "“A”" in window.notices["left"].words.text()
    window.notices["left"].buttons[1].click()
    assert "left" not in window.notices
    assert window.header.job.text() == "Three coats on a plinth"
    assert find_left(own_file) == ()
    assert len(find_left()) == 1
    assert len(list((unsaved_folder() / "left").glob("*.json"))) == 1


def test_only_what_was_left_of_the_open_job_is_offered_and_not_for_ever(
    own_file: Path, new_window: Callable[[], MainWindow], qtbot: QtBot
) -> None:
    for owner in ("8-8", "9-9"):
        write(unsaved_folder() / file_name(own_file, owner), replace(kept(), path=str(own_file)))
    for name in ("b.toml", "c.toml"):
        write(unsaved_folder() / file_name(own_file.with_name(name), "9-9"), replace(kept(), name=name))
    window = new_window()
    qtbot.waitUntil(lambda: len(left_on_welcome(window)) == 3, timeout=WAIT_MS)
    assert "left" not in window.notices
    words = next(words for words in left_on_welcome(window) if "b.toml" in words)
    left_on_welcome(window)[words][1].click()
    assert words not in left_on_welcome(window)
    assert len(find_left()) == 3
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.open_job(own_file)
    qtbot.waitUntil(lambda: "left" in window.notices, timeout=WAIT_MS)
    assert window.notices["left"].words.text().endswith("It is the newest of 2 of this job.")
    assert window.session is not None
    assert window.session.plan is not None
    window.mover.nudge(window.session.plan.placements[-1].operation, 1, 1)
    assert "left" not in window.notices  # whoever goes on is no more asked
    assert len(find_left(own_file)) == 2


def test_sigterm_ends_in_order_and_loses_nothing(
    own_file: Path, plan_file: Path, tmp_path: Path, new_window: Callable[[], MainWindow], qtbot: QtBot
) -> None:
    assert ended(DYING, (own_file, plan_file, tmp_path / "dying.ini"), signal.SIGTERM) == 0
    [found] = find_left(own_file)
    assert found.unsaved.in_order
    assert "Not in the file" not in own_file.read_text(encoding="utf-8")
    window = new_window()
    qtbot.waitUntil(lambda: left_on_welcome(window) != {}, timeout=WAIT_MS)
    [said] = left_on_welcome(window)
    assert said.startswith(f"“Not in the file” ({own_file.name} in {own_file.parent}")
    assert " was not saved when the machine told Liftgap to end" in said
    with qtbot.waitSignal(window.opening.asker.answered, timeout=WAIT_MS):
        left_on_welcome(window)[said][0].click()
    assert window.header.job.text() == "Not in the file"
    assert window.leaving.plan_unsaved


def test_told_to_end_with_nothing_unsaved_it_leaves_nothing(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.recovery.timer.setInterval(0)
    own_window.recovery.note()
    own_window.recovery.keep_now()
    own_window.close()
    assert list(unsaved_folder().glob("*.json")) == []


def test_a_forecast_changed_by_hand_is_kept_too_when_the_window_is_told_to_end(
    own_window: MainWindow, new_window: Callable[[], MainWindow], qtbot: QtBot
) -> None:
    own_window.views.show("weather")
    own_window.weather.type_cell("air_c", 12, "-3.5")
    qtbot.waitUntil(lambda: not own_window.weather.worker.busy, timeout=WAIT_MS)
    assert own_window.weather.unsaved
    own_window.recovery.keep_now()
    own_window.leaving.asks = False
    assert own_window.close()
    [found] = find_left()
    window = new_window()
    with qtbot.waitSignal(window.weather.bringing.brought, timeout=WAIT_MS):
        window.opening.take_up(found)
    snapshot = window.weather.snapshot
    assert snapshot is not None
    assert snapshot.series.air_c[12] == -3.5
    assert window.weather.unsaved
    qtbot.waitUntil(lambda: not window.weather.worker.busy and not window.planning.busy, timeout=WAIT_MS)


CHANGING_THE_FORECAST = DYING.replace("planning.ended.connect(move)", "planning.ended.connect(colder)").replace(
    "def say():",
    """def colder(*_):
    window.weather.type_cell("air_c", 12, "-3.5")

def say():
    if "-3.5" in read(window.recovery.file).tried:
        print(window.recovery.file, flush=True)
        return
""",
)
"""The same window in which nothing is done but that a value of the forecast is typed over."""


def test_after_kill_9_a_forecast_changed_by_hand_is_taken_up_again(
    own_file: Path, plan_file: Path, tmp_path: Path, new_window: Callable[[], MainWindow], qtbot: QtBot
) -> None:
    files = own_file, plan_file, tmp_path / "dying.ini"
    assert ended(CHANGING_THE_FORECAST, files, signal.SIGKILL) == -signal.SIGKILL
    window = new_window()
    qtbot.waitUntil(lambda: left_on_welcome(window) != {}, timeout=WAIT_MS)
    [said] = left_on_welcome(window)
    with qtbot.waitSignal(window.weather.bringing.brought, timeout=WAIT_MS):
        left_on_welcome(window)[said][0].click()
    snapshot = window.weather.snapshot
    assert snapshot is not None
    assert snapshot.series.air_c[12] == -3.5
    assert window.weather.unsaved
    assert window.session is not None
    assert window.session.plan is not None
    qtbot.waitUntil(lambda: not window.weather.worker.busy and not window.planning.busy, timeout=WAIT_MS)


def test_a_forecast_set_back_is_not_kept(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.recovery.timer.setInterval(0)
    with qtbot.waitSignal(own_window.recovery.asker.answered, timeout=WAIT_MS):
        own_window.weather.type_cell("air_c", 12, "-3.5")
    file = own_window.recovery.file
    assert file is not None
    unsaved = read(file)
    assert unsaved is not None
    assert "-3.5" in unsaved.tried
    with qtbot.waitSignal(own_window.recovery.asker.answered, timeout=WAIT_MS):
        own_window.weather.undo.undo()
    unsaved = read(file)
    assert unsaved is not None
    assert unsaved.tried == ""
    qtbot.waitUntil(lambda: not own_window.weather.worker.busy, timeout=WAIT_MS)


def test_a_window_that_lives_is_not_robbed(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.recovery.timer.setInterval(0)
    with qtbot.waitSignal(own_window.recovery.asker.answered, timeout=WAIT_MS):
        own_window.mover.nudge("plinth/coat_2", 1, 1)
    file = own_window.recovery.file
    assert file is not None
    assert file.is_file()
    assert find_left() == ()
    own_window.close()
    assert not file.exists()


def test_nothing_is_written_where_nothing_was_done(
    new_window: Callable[[], MainWindow], own_file: Path, qtbot: QtBot
) -> None:
    window = new_window()
    window.recovery.timer.setInterval(0)
    window.open_job(own_file)
    qtbot.waitUntil(lambda: window.session is not None and not window.recovery.timer.isActive(), timeout=WAIT_MS)
    window.planning.drop()
    assert list(unsaved_folder().glob("*.json")) == []


def test_work_is_kept_as_it_was(tmp_path: Path) -> None:
    write(tmp_path / "deep" / "a.json", kept())
    assert read(tmp_path / "deep" / "a.json") == kept()
    assert kept().when == "25 Nov, 12:03"


@pytest.mark.parametrize("text", ["", "[]", '{"liftgap_unsaved": 2}', '{"liftgap_unsaved": 1, "path": 3}', "null"])
def test_damaged_work_is_no_work(tmp_path: Path, text: str) -> None:
    (tmp_path / "a.json").write_text(text, encoding="utf-8")
    assert read(tmp_path / "a.json") is None


def test_times_and_texts_must_be_such(tmp_path: Path) -> None:
    write(tmp_path / "a.json", replace(kept(), at="yesterday"))
    assert read(tmp_path / "a.json") is None
    data = {**json.loads((tmp_path / "a.json").read_text()), "at": kept().at, "name": ["<b>"]}
    (tmp_path / "a.json").write_text(json.dumps(data))
    assert read(tmp_path / "a.json") is None


def test_the_last_few_that_were_left_are_kept(tmp_path: Path) -> None:
    for number in range(12):
        file = tmp_path / file_name(tmp_path / "a.toml", str(number))
        write(file, kept())
        os.utime(file, (number, number))
        leave(file)
    assert len(list((tmp_path / "left").iterdir())) == 8
    assert find_left() == ()


def test_hostile_names_are_plain_text(new_window: Callable[[], MainWindow], qtbot: QtBot, tmp_path: Path) -> None:
    file = unsaved_folder() / file_name(tmp_path / "a.toml", "9-9")
    write(file, replace(kept(), name="<b>&amp;</b>"))
    assert find_left() == (Found(file, replace(kept(), name="<b>&amp;</b>")),)
    window = new_window()
    qtbot.waitUntil(lambda: left_on_welcome(window) != {}, timeout=WAIT_MS)
    [words] = left_on_welcome(window)
    assert "<b>&amp;</b>" in words
    labels = [one for one in window.welcome.findChildren(QLabel) if one.text() == words]
    assert [one.textFormat() for one in labels] == [Qt.TextFormat.PlainText]
    with qtbot.waitSignal(window.opening.asker.failed, timeout=WAIT_MS):
        left_on_welcome(window)[words][0].click()
    assert file.exists()
