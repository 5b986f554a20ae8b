"""The Weather view and the window: shift, edit, undo, open, break, use, and plan on it."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.theme import THEMES
from app.weather.chart_list import Role
from app.weather.fetch_dialog import FetchDialog, Fetched
from app.weather.fetch_store import FetchStore, Kept
from app.weather.files import csv_bytes
from app.weather.header_dialog import HeaderDialog
from app.weather.shift_dialog import ShiftDialog
from app.weather.snapshot import Shift, as_read, shifted
from app.window import MainWindow
from planner.audit.check import audit
from planner.jobfile.load import load_job
from planner.weather.fetch_cache import CacheRecord
from planner.weather.series import HourlySeries
from planner.weather.services import read_forecast

WAIT_MS = 20_000
NOW = datetime(2027, 6, 8, 9, tzinfo=UTC)
Make = Callable[[], MainWindow]


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


def test_a_second_issue_is_opened_and_undone(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    view, before = window.weather, series_of(window)
    other = tmp_path / "later.csv"
    other.write_bytes(csv_bytes(shifted(as_read(before), Shift(10, 40, -8.0)).series))
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.bringing.open_file(other)
    assert "31 hours" in view.bar.apart.text()
    assert view.outlook is not None
    assert view.outlook.breaches
    view.undo.undo()
    assert series_of(window) is before


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"time,air_c,humidity_pct,rain_mm,wind_ms\n2027-06-08T00:00,x,200,0,3\n2027-06-08T01:00,9,80,-4,3\n",
        b"PK\x03\x04junk",
        b'{"error": true, "reason": "no such place"}',
        b"\xff\xfe\x00t",
    ],
)
def test_a_broken_file_shows_its_faults_and_the_old_forecast_stays(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, content: bytes
) -> None:
    view, before = window.weather, window.weather.snapshot
    bad = tmp_path / "bad.csv"
    bad.write_bytes(content)
    with qtbot.waitSignal(view.bringing.failed, timeout=WAIT_MS) as heard:
        view.bringing.open_file(bad)
    assert view.snapshot is before
    assert view.undo.count() == 0
    assert "stays as it was" in view.faults.title.text()
    for fault in heard.args[0].faults:
        assert fault.found in view.faults.words.toPlainText()
    view.faults.away.click()
    assert view.faults.isHidden()


def test_a_forecast_too_short_for_the_job_is_shown_but_cannot_be_used(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    view = window.weather
    series = series_of(window)
    short = tmp_path / "short.csv"
    short.write_text("\n".join(csv_bytes(series).decode().splitlines()[:20]), encoding="utf-8")
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.bringing.open_file(short)
    assert "can't carry the job" in view.breaks.title.text()
    assert "hours that cover" in view.breaks.quiet.text()
    assert not view.bar.use.isEnabled()


def test_odd_columns_are_asked_for(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    view = window.weather
    lines = csv_bytes(series_of(window)).decode().splitlines()
    odd = tmp_path / "odd.csv"
    at = next(number for number, line in enumerate(lines) if line.startswith("time"))
    odd.write_text("\n".join(["when,A,B,C,D,E", *lines[at + 1 :]]), encoding="utf-8")
    with qtbot.waitSignal(view.bringing.reader.answered, timeout=WAIT_MS):
        view.bringing.open_file(odd)
    dialog = view.bringing.dialog
    assert isinstance(dialog, HeaderDialog)
    dialog.time.setCurrentIndex(1)
    for number, box in enumerate(dialog.columns.values(), start=2):
        box.setCurrentIndex(number)
    with qtbot.waitSignal(view.bringing.brought, timeout=WAIT_MS) as heard:
        dialog.accept()
    assert np.array_equal(heard.args[0].air_c, window.session.loaded.series.air_c)  # type: ignore[union-attr]


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


def test_a_fetched_answer_is_kept_only_once_it_is_read(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    view, store = window.weather, FetchStore(tmp_path / "cache")
    record = CacheRecord("https://weather.invalid/", NOW - timedelta(hours=2))
    with qtbot.waitSignal(view.bringing.failed, timeout=WAIT_MS):
        view.bringing.read_fetched(Fetched(Kept(b'{"hourly": 3}', record), "Data: somebody", True), store)
    assert store.kept(record.url) is None
    answer = _model_answer(series_of(window))
    with qtbot.waitSignal(view.bringing.brought, timeout=WAIT_MS):
        view.bringing.read_fetched(Fetched(Kept(answer, record), "Data: somebody", True), store)
    kept = store.kept(record.url)
    assert kept is not None
    assert kept.data == answer
    assert "Data: somebody" in view.bar.source.text()
    assert "fetched 2027-06-08 08:00," in view.bar.source.text()


def test_the_service_is_asked_in_a_dialog_that_remembers(window: MainWindow, qtbot: QtBot) -> None:
    view = window.weather
    view.bringing.ask_service()
    dialog = view.bringing.dialog
    assert isinstance(dialog, FetchDialog)
    assert dialog.agent.text().startswith("Liftgap/")
    assert not dialog.ask.isEnabled()
    dialog.address.setText("https://weather.invalid/{latitude}/{longitude}")
    dialog.agent.setText("Liftgap office@example.org")
    assert dialog.ask.isEnabled()
    record = CacheRecord("https://weather.invalid/54.6/-2.7", NOW)
    with qtbot.waitSignal(view.bringing.failed, timeout=WAIT_MS):
        dialog.fetched.emit(Fetched(Kept(b'{"hourly": 3}', record), "", True))
    assert "can't be read" in dialog.words.text()
    with qtbot.waitSignal(dialog.finished, timeout=WAIT_MS):
        dialog.fetched.emit(Fetched(Kept(_model_answer(series_of(window)), record), "", False))
    assert window.settings.service.agent == "Liftgap office@example.org"
    assert view.undo.count() == 1


def test_gaps_are_drawn_as_gaps_said_and_not_planned_on(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    view = window.weather
    lines = csv_bytes(series_of(window)).decode().splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("time")) + 9
    holed = [line.split(",")[0] + ",,80,0,3,60" if at <= n < at + 8 else line for n, line in enumerate(lines)]
    gaps = tmp_path / "gaps.csv"
    gaps.write_text("\n".join(holed), encoding="utf-8")
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.bringing.open_file(gaps)
    assert "can't carry the job" in view.breaks.title.text()
    assert "missing hours" in view.breaks.quiet.text()
    assert view.chart.data is not None
    assert view.chart.data.surfaces == ()
    assert view.chart.shown is not None
    assert len([line for line in view.chart.shown.temperature if line.role is Role.AIR]) == 2
    assert view.model.data(view.model.index(10, view.model.column_of("air_c"))) == "missing"
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.type_cell("air_c", 10, "7")
    assert series_of(window).air_c[10] == 7.0


def _model_answer(series: HourlySeries) -> bytes:
    hours = [f"{series.hour(index):%Y-%m-%dT%H:%M}" for index in range(series.hours)]
    hourly = {
        "time": hours,
        "temperature_2m": (series.air_c - 1).tolist(),
        "relative_humidity_2m": series.humidity_pct.tolist(),
        "precipitation": series.rain_mm.tolist(),
        "wind_speed_10m": series.wind_ms.tolist(),
        "cloud_cover": series.cloud_pct.tolist(),
    }
    units = {"temperature_2m": "°C", "precipitation": "mm", "wind_speed_10m": "m/s", "relative_humidity_2m": "%"}
    top = {"utc_offset_seconds": 0, "timezone": "GMT", "hourly_units": units, "hourly": hourly}
    return json.dumps(top).encode()


def test_a_bar_of_the_strip_leads_to_the_board(window: MainWindow, qtbot: QtBot) -> None:
    view = window.weather
    assert view.chart.shown is not None
    bar = view.chart.shown.bars[0]
    at = QPoint(int(bar.box.x + bar.box.width / 2), int(bar.box.y + bar.box.height / 2))
    qtbot.mouseClick(view.chart.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert window.header.views.current == "board"
    assert window.board is not None
    assert window.board.look.selected == bar.visit.key
    assert view.limits.element == bar.visit.key.split("/")[0]


def test_by_keys_alone(window: MainWindow, qtbot: QtBot) -> None:
    view = window.weather
    view.chart.setFocus()
    qtbot.keyClick(view.chart, Qt.Key.Key_Right)
    key = view.chart.look.selected
    assert key
    assert view.chart.accessibleDescription().count(key) == 1
    assert view.bar.limits.currentText().startswith(window.session.operation(key).name)  # type: ignore[union-attr]
    qtbot.keyClick(view.chart, Qt.Key.Key_Escape)
    assert view.chart.look.selected == ""
    qtbot.keyClick(view.chart, Qt.Key.Key_Right)
    qtbot.keyClick(view.chart, Qt.Key.Key_Return)
    assert window.header.views.current == "board"
    window.actions_by_name["weather"].trigger()
    assert window.header.views.current == "weather"
    window.looks.next_panel()
    assert window.focusWidget() in view.panels


def test_an_hour_clicked_is_the_row_chosen_and_back(window: MainWindow, qtbot: QtBot) -> None:
    view = window.weather
    pane = view.chart.frame_boxes.temperature
    at = QPoint(int(pane.x + pane.width / 3), int(pane.y + 20))
    qtbot.mouseClick(view.chart.viewport(), Qt.MouseButton.LeftButton, pos=at)
    row = view.table.currentIndex().row()
    assert row == view.chart.hour_at(at.x())
    assert abs((view.chart.look.cursor_x or 0) - at.x()) <= 2 * view.chart._scale.px + 1
    assert "Air" in view.chart.words_at(at.x(), at.y())


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080)])
@pytest.mark.parametrize("look", ["light", "dark"])
def test_everything_fits_the_window(window: MainWindow, qtbot: QtBot, size: tuple[int, int], look: str) -> None:
    window.looks.set_theme(look)
    window.resize(*size)
    colder(window, qtbot)
    view = window.weather
    assert (window.width(), window.height()) == size
    for button in (view.bar.open, view.bar.ask, view.bar.shift, view.bar.undo, view.bar.save, view.bar.use):
        assert view.bar.rect().contains(button.geometry())
        assert button.width() >= button.minimumSizeHint().width()
    for button in window.header.views.buttons.values():
        assert button.width() >= button.minimumSizeHint().width()
    assert view.chart.frame_boxes.bottom <= view.chart.viewport().height()
    assert view.chart.frame_boxes.temperature.height >= 60
    ground = view.chart.viewport().grab().toImage().pixelColor(8, 8)
    assert ground.name().upper() == THEMES[look].ground


def test_everything_has_a_name_for_screen_readers(window: MainWindow) -> None:
    view = window.weather
    widgets = (view, view.chart, view.table, view.breaks.list, view.bar.limits, view.bar.source, view.faults.words)
    assert all(widget.accessibleName() for widget in widgets)


def test_a_products_limits_are_drawn(window: MainWindow) -> None:
    view = window.weather
    names = [view.bar.limits.itemText(number) for number in range(view.bar.limits.count())]
    assert names[0] == "nothing"
    view.bar.limits.setCurrentIndex(1)
    view.bar.limits.activated.emit(1)
    assert view.limits.conditions.surface_c == (5, 20)
    assert view.chart.shown is not None
    limits = {mark.words for mark in view.chart.shown.temperature_marks if mark.is_limit}
    assert limits == {"surface from 5 °C", "surface up to 20 °C"}
    assert view.chart.shown.met


def test_the_first_view_follows_the_size_until_the_user_looks_elsewhere(window: MainWindow, qtbot: QtBot) -> None:
    chart = window.weather.chart
    horizon = window.session.facts.horizon  # type: ignore[union-attr]
    window.resize(1900, 900)
    assert chart.slot_at(chart.frame_boxes.axis.right) == pytest.approx(horizon, abs=4)
    chart.zoom(2.0)
    width = chart.slot_at(800) - chart.slot_at(700)
    window.resize(1366, 768)
    assert chart.slot_at(800) - chart.slot_at(700) == pytest.approx(width)
    qtbot.keyClick(chart, Qt.Key.Key_0)
    assert chart.slot_at(chart.frame_boxes.axis.right) == pytest.approx(horizon, abs=4)


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
