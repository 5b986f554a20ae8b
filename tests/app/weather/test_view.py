"""The Weather view and the window: shift, edit, undo, save, use, and plan on it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.window import MainWindow
from planner.audit.check import audit
from planner.findings import Finding
from planner.jobfile.load import load_job
from planner.weather.services import read_forecast
from tests.app.weather.at_window import WAIT_MS, colder, series_of


def test_nothing_is_mended_from_the_weather_view(own_window: MainWindow) -> None:
    """What breaks there breaks on a forecast that is only looked at; mending is of the plan on the board."""
    weather = own_window.weather
    assert weather.session is not None
    broken = replace(weather.session, findings=(Finding("frost", "plinth/prime", "too cold", ""),))
    own_window.views.show("weather")
    weather.breaks.show_session(broken)
    assert weather.breaks.list.count() == 1
    assert not weather.breaks.mend.isVisible()


def test_the_view_starts_on_the_plans_forecast(window: MainWindow) -> None:
    view = window.weather
    assert view.is_standing
    assert window.header.views.current == "weather"
    assert view.model.rowCount() == series_of(window).hours
    assert "nothing breaks" in view.breaks.title.text()
    assert not view.bar.use.isEnabled()
    assert len(view.chart.data.rows) == 1  # type: ignore[union-attr]


def test_colder_weather_says_what_breaks_as_the_audit_does(window: MainWindow, qtbot: QtBot) -> None:
    series = colder(window, qtbot)
    view, session = window.weather, window.session
    assert session is not None
    assert session.plan is not None
    assert np.allclose(series.air_c, session.loaded.series.air_c - 6.0)
    assert view.outlook is not None
    assert view.outlook.weather is not None
    found = audit(session.loaded.job, view.outlook.weather, session.plan)
    assert found
    assert view.outlook.breaches == found
    assert f"{len(found)} breach" in view.breaks.title.text()
    assert view.breaks.list.count() >= len(found)
    assert view.chart.data is not None
    assert view.chart.data.broken
    assert view.chart.data.standing is session.loaded.series
    assert "6.0 K colder" in view.bar.apart.text()
    assert "edited by hand from" in view.bar.source.text()
    assert view.bar.use.isEnabled()


def test_undo_and_redo_go_over_every_change(window: MainWindow, qtbot: QtBot) -> None:
    view = window.weather
    first = series_of(window)
    shifted_series = colder(window, qtbot)
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.type_cell("wind_ms", 4, "9")
    typed = series_of(window)
    qtbot.mouseClick(view.bar.undo, Qt.MouseButton.LeftButton)
    assert series_of(window) is shifted_series
    qtbot.mouseClick(view.bar.undo, Qt.MouseButton.LeftButton)
    assert series_of(window) is first
    assert view.is_standing
    assert "nothing breaks" in view.breaks.title.text()
    view.undo.redo()
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.undo.redo()
    assert series_of(window) is typed
    assert view.outlook is not None
    assert view.outlook.series is typed


def test_what_is_refused_stays_off_the_undo_list(window: MainWindow) -> None:
    view = window.weather
    before = series_of(window)
    view.type_cell("air_c", 2, "hot")
    assert series_of(window) is before
    assert not view.faults.isHidden()
    assert "hot" in view.faults.title.text()
    assert view.undo.count() == 0


def test_it_is_saved_as_a_sheet(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    series, target = colder(window, qtbot), tmp_path / "cold.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    window.weather.save_as()
    again = read_forecast(target, window.session.facts.time.zone)  # type: ignore[union-attr]
    assert np.array_equal(again.air_c, series.air_c)
    assert again.source == series.source
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "no" / "cold.csv"), ""))
    window.weather.save_as()
    assert "not saved" in window.statusBar().currentMessage()


def test_used_for_the_plan_it_is_audited_anew_and_planned_on(
    window: MainWindow, qtbot: QtBot, job_file: Path
) -> None:
    series = colder(window, qtbot)
    view, before = window.weather, window.session
    assert before is not None
    with qtbot.waitSignal(view.step_wanted, timeout=WAIT_MS):
        view.use()
    session = window.session
    assert session is not None
    assert session is not before
    assert session.plan == before.plan
    assert view.is_standing
    assert "not workable" in window.header.status.text()
    assert "edited by hand" in window.forecast.text()
    assert session.weather_file is not None
    loaded = load_job(job_file, weather=session.weather_file)
    assert np.allclose(loaded.weather.air_c, session.loaded.weather.air_c)
    assert np.array_equal(loaded.series.air_c, series.air_c)
    window.planning.drop()
    window.plan()
    assert f'"weather": "{session.weather_file}"' in window.planning.solving._child._request
    window.planning.drop()
    view.undo.undo()
    assert not view.is_standing
    assert "6.0 K warmer" in view.bar.apart.text()


def test_the_source_that_only_the_job_file_states_is_shown(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    session = window.session
    assert session is not None
    job = tmp_path / "named.toml"
    text = session.loaded.text.replace(
        "[[forecast.days]]", '[forecast]\nsource = "typed by the office"\n\n[[forecast.days]]', 1
    )
    job.write_text(text, encoding="utf-8")
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.open_job(job)
    assert "typed by the office" in window.weather.bar.source.text()
    assert window.weather.is_standing


def test_another_job_begins_anew(window: MainWindow, qtbot: QtBot, job_file: Path) -> None:
    colder(window, qtbot)
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.open_job(job_file)
    assert window.weather.is_standing
    assert window.weather.undo.count() == 0
    assert window.session is not None
    assert window.session.weather_file is None
