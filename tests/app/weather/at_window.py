"""The window at its Weather view, and what its tests do there."""

from __future__ import annotations

from datetime import UTC, datetime

from pytestqt.qtbot import QtBot

from app.weather.shift_dialog import ShiftDialog
from app.window import MainWindow
from planner.weather.series import HourlySeries

WAIT_MS = 20_000
NOW = datetime(2027, 6, 8, 9, tzinfo=UTC)


def series_of(window: MainWindow) -> HourlySeries:
    assert window.weather.snapshot is not None
    return window.weather.snapshot.series


def colder(window: MainWindow, qtbot: QtBot, by_k: float = -6.0) -> HourlySeries:
    """Shift the whole forecast through the form, and wait until it is worked out."""
    view = window.weather
    view.ask_shift()
    dialog = view.shift_dialog
    assert isinstance(dialog, ShiftDialog)
    dialog.by_k.setValue(abs(by_k))
    dialog.way.setCurrentIndex(0 if by_k < 0 else 1)
    dialog.start.choose(0)
    dialog.end.choose(series_of(window).hours - 1)
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        dialog.accept()
    return series_of(window)
