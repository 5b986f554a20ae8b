"""The window at its Weather view."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.window import MainWindow
from tests.app.weather.at_window import NOW, WAIT_MS


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, job_file: Path, plan_file: Path) -> MainWindow:
    """Return a window on the sample job with its plan, at its Weather view."""
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    made = MainWindow(settings, command, clock=lambda: NOW)
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=WAIT_MS):
        made.open_job(job_file)
    made.views.show("weather")
    return made
