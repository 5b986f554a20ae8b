"""The solving process is killed from outside in the middle of a run: what it had found stays, and so does the job."""

from __future__ import annotations

import os
import signal
import sys
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QProcess
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.solving import End, Outcome
from app.window import MainWindow

WAIT_MS = 20_000


def test_a_killed_worker_loses_nothing(qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path) -> None:
    command = (sys.executable, "-m", "tests.app.fake_worker", "deaf", str(plan_file))
    window = MainWindow(settings, command, clock=lambda: datetime(2027, 6, 9, 11, tzinfo=UTC))
    qtbot.addWidget(window)
    window.show()
    with qtbot.waitSignal(window.planning.planned, timeout=WAIT_MS):
        window.open_job(own_file)
    found = window.session
    assert found is not None
    assert found.plan is not None
    process = window.planning.findChild(QProcess)
    ended: list[Outcome] = []
    window.planning.ended.connect(ended.append)
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        os.kill(process.processId(), signal.SIGKILL)
    assert ended[0].end is End.CRASHED
    assert window.session is found
    assert window.board is not None
    assert window.board.display.rows.boxes
    assert "ended without an answer" in window.banner.text()
    assert "The plan shown is from before." in window.banner.text()
    assert window.header.plan.isEnabled()
    with qtbot.waitSignal(window.planning.planned, timeout=WAIT_MS):
        window.plan()
    window.close()
