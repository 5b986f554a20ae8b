"""Every test of the desktop runs without a screen, with settings and home of its own, and leaves nothing running."""

from __future__ import annotations

import gc
import os
import shutil
import sys
import threading
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import shiboken6
from PySide6.QtCore import QCoreApplication, QEvent, QProcess, QSettings, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.fonts import load_fonts
from app.leaving import Answer
from app.session import Session, open_session, with_placed
from app.settings import Settings
from app.window import MainWindow
from planner.jobfile.load import load_job
from planner.jobfile.planfile import write_plan
from planner.solve.run import solve_job

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The offscreen platform warns that it has no window manager to tell sizes to; that is no fault of ours."""
    for item in items:
        if "tests/app/" in str(item.path).replace(os.sep, "/"):
            item.add_marker(pytest.mark.qt_log_ignore("This plugin does not support propagateSizeHints"))


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "home"
    home.mkdir()
    for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_RUNTIME_DIR"):
        monkeypatch.setenv(name, str(home))
    home.chmod(0o700)


@pytest.fixture(autouse=True)
def _nothing_left(qapp: QApplication) -> Iterator[None]:
    """Fail where a test leaves a window, a running timer, a process or a thread behind."""
    load_fonts()
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.unfreeze()  # what a window set aside when it opened a job is looked through too
    gc.collect()
    shown = [widget for widget in qapp.topLevelWidgets() if widget.isVisible()]
    living = [one for one in gc.get_objects() if isinstance(one, QTimer | QProcess) and shiboken6.isValid(one)]
    timers = [one for one in living if isinstance(one, QTimer) and one.isActive()]
    processes = [
        one for one in living if isinstance(one, QProcess) and one.state() is not QProcess.ProcessState.NotRunning
    ]
    threads = [one for one in threading.enumerate() if one is not threading.main_thread() and not one.daemon]
    assert not shown
    assert not timers
    assert not processes
    assert not [one for one in threads if not one.name.startswith("Dummy")]


@pytest.fixture(autouse=True)
def _leaves_without_saving(monkeypatch: pytest.MonkeyPatch) -> None:
    """A window that is shut at a test's end asks nobody; tests of the question answer it themselves."""
    monkeypatch.setattr("app.leaving.ask", lambda _parent, _lost: Answer.DISCARD)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Return settings in a file of the test's own."""
    return Settings(QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat))


@pytest.fixture(scope="session")
def job_file() -> Path:
    """Return a small sample job: one structure, typed forecast days, no closures."""
    return Path(__file__).resolve().parents[2] / "sample_jobs" / "three_coats.toml"


@pytest.fixture(scope="session")
def plan_file(job_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a PLAN.json of that job, as the solving process would send it."""
    loaded = load_job(job_file)
    found = solve_job(loaded.job, loaded.weather, seconds=20.0, trials=20)
    assert found.plan is not None, found.reasons
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    write_plan(path, found.plan, loaded.job)
    return path


@pytest.fixture(scope="session")
def viaduct() -> Session:
    """Return the main sample job with the first plan found."""
    opened = open_session(Path(__file__).resolve().parents[2] / "sample_jobs" / "harrow_beck_viaduct.toml")
    found = solve_job(opened.loaded.job, opened.loaded.weather, seconds=20, trials=1)
    assert found.plan is not None
    return with_placed(opened, found.plan)


@pytest.fixture
def own_file(tmp_path: Path, job_file: Path) -> Path:
    """Return a copy of the sample job that a test may write over."""
    return Path(shutil.copy(job_file, tmp_path / "own.toml"))


@pytest.fixture
def own_window(qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path) -> MainWindow:
    """Return a window of 1366x768 on a job of its own, planned, at noon of its second day."""
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    made = MainWindow(settings, command, clock=lambda: datetime(2027, 6, 9, 11, tzinfo=UTC))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=20_000):
        made.open_job(own_file)
    return made
