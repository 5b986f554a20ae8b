"""An issue opened on another forecast than it was handed out with: told, and judged on either in one press."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.weather.snapshot import Shift, as_read, shifted
from app.window import MainWindow
from planner.jobfile.issues import issue_changes, issue_plan
from planner.jobfile.load import load_job
from planner.jobfile.planfile import read_plan
from planner.jobfile.write import changed_text
from planner.weather.series import HourlySeries, same_weather

WAIT_MS = 20_000
BAR = "issued on another forecast"
OWN = "forecast stands in"


@pytest.fixture
def reopened(
    own_window: MainWindow, own_file: Path, plan_file: Path, qtbot: QtBot
) -> tuple[MainWindow, HourlySeries]:
    """Return a window on a job whose issue was handed out on a colder forecast, and that forecast."""
    loaded = load_job(own_file)
    colder = replace(shifted(as_read(loaded.series), Shift(10, 40, -2.0)).series, source="cold snap")
    made = issue_plan(loaded.job, colder, read_plan(plan_file, loaded.job), own_window.clock())
    own_file.write_text(changed_text(loaded.text, issue_changes(loaded.job, made)), encoding="utf-8")
    with qtbot.waitSignal(own_window.opening.asker.answered, timeout=WAIT_MS):
        own_window.open_job(own_file)
    return own_window, colder


def status(window: MainWindow) -> str:
    return window.header.status.toolTip() or window.header.status.text()


def stands_on(window: MainWindow, series: HourlySeries) -> bool:
    assert window.session is not None
    return same_weather(window.session.loaded.series, series)


def test_it_is_told_and_judged_on_either(
    reopened: tuple[MainWindow, HourlySeries], own_file: Path, qtbot: QtBot
) -> None:
    window, colder = reopened
    assert status(window).startswith("Issue 1 of Wed 9 Jun, issued on another forecast")
    assert "issued on “cold snap”" in window.notices[BAR].words.text()
    assert "the job's forecast" in window.notices[BAR].words.text()
    with qtbot.waitSignal(window.weather.keeping.used, timeout=WAIT_MS):
        window.notices[BAR].buttons[0].click()
    assert stands_on(window, colder)
    assert BAR not in window.notices
    assert "another forecast" not in status(window)
    assert window.leaving.lost() == []  # it is in the job's file
    with qtbot.waitSignal(window.issue_forecast.asker.answered, timeout=WAIT_MS):
        window.notices[OWN].buttons[1].click()
    assert stands_on(window, load_job(own_file).series)
    assert BAR in window.notices
    assert OWN not in window.notices
    window.mover.stack.undo()
    assert stands_on(window, colder)


def test_left_as_it_is_it_is_told_in_the_header_only(reopened: tuple[MainWindow, HourlySeries], qtbot: QtBot) -> None:
    window, _colder = reopened
    window.notices[BAR].buttons[1].click()
    window.mover.stack.indexChanged.emit(0)
    assert BAR not in window.notices
    assert "another forecast" in status(window)


def test_it_may_be_issued_anew_on_the_forecast_that_is_under_it(
    reopened: tuple[MainWindow, HourlySeries], qtbot: QtBot
) -> None:
    window, _colder = reopened
    window.actions_by_name["issue"].trigger()
    dialog = window.issuing.dialog
    assert dialog is not None
    dialog.reason.setPlainText("agreed")
    dialog.issue.click()
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    assert status(window).startswith("Issue 2 of Wed 9 Jun")
    assert "another forecast" not in status(window)
    assert BAR not in window.notices
