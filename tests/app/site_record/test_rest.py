"""Plan the rest: what is recorded stays, what no longer fits moves, by the planner itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.site_record.view import SiteRecordView
from app.solving import WORKER
from app.window import MainWindow


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, own_file: Path) -> Iterator[MainWindow]:
    """Return a window on the plinth with the real planner, at 10:30 on the first day."""
    settings.seconds = 2
    made = MainWindow(settings, WORKER, clock=lambda: datetime(2027, 6, 8, 9, 30, tzinfo=UTC))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=30_000):
        made.opening.open(own_file)
    yield made
    assert made.session is not None
    made.note_saved(made.session.loaded.text)


def shown(qtbot: QtBot, window: MainWindow, entries: int) -> SiteRecordView:
    view = window.pages["record"]
    assert isinstance(view, SiteRecordView)
    window.actions_by_name["record"].trigger()
    qtbot.waitUntil(lambda: not view.asker.busy and view.page is not None and len(view.page.history) == entries)
    return view


def test_what_is_recorded_stays_and_the_rest_moves(qtbot: QtBot, window: MainWindow) -> None:
    view = shown(qtbot, window, 0)
    view.choose(("plinth/prime", 1))
    QTest.keyClicks(view.form.started, "08:30")
    QTest.keyClicks(view.form.finished, "09:40")
    qtbot.mouseClick(view.form.save, Qt.MouseButton.LeftButton)
    view = shown(qtbot, window, 1)
    assert "First coat" in view.follows.text()
    with qtbot.waitSignal(window.planning.ended, timeout=30_000):
        qtbot.mouseClick(view.bar.rest, Qt.MouseButton.LeftButton)
    assert window.session is not None
    plan = window.session.plan
    assert plan is not None
    [prime], [coat] = plan.visits_of("plinth/prime"), plan.visits_of("plinth/coat_1")
    assert (prime.start, prime.finish) == (34, 39)  # 08:30 to 09:45, the slots that hold 08:30 to 09:40
    assert coat.start == 39 + 8  # 2 h at 10 °C
    assert window.mover.stack.undoText() == "planning of the rest"
    said = "The rest is planned again: 2 operations moved; 1 done or under way stay"
    assert window.statusBar().currentMessage() == said
