"""Forecasts brought into the Weather view: opened, broken, too short, with odd columns, fetched, with gaps."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.weather.chart_list import Role
from app.weather.fetch_dialog import FetchDialog, Fetched
from app.weather.fetch_store import FetchStore, Kept
from app.weather.files import csv_bytes
from app.weather.header_dialog import HeaderDialog
from app.weather.snapshot import Shift, as_read, shifted
from app.window import MainWindow
from planner.weather.fetch_cache import CacheRecord
from planner.weather.series import HourlySeries
from tests.app.weather.at_window import NOW, WAIT_MS, series_of


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


def test_an_opened_forecast_is_shown_from_its_first_difference(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    view, before = window.weather, series_of(window)
    other = tmp_path / "later.csv"
    other.write_bytes(csv_bytes(shifted(as_read(before), Shift(30, 44, -8.0)).series))
    with qtbot.waitSignal(view.worker.answered, timeout=WAIT_MS):
        view.bringing.open_file(other)
    assert view.table.currentIndex().row() == 30
    box, data = view.chart.frame_boxes.axis, view.chart.data
    assert data is not None
    first, last = view.chart.slot_at(box.x), view.chart.slot_at(box.right)
    assert first <= data.hours_at[30] <= last


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
    words = view.faults.words
    assert words.height() <= words.document().size().height() + 5, "no more room than its words need"
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
