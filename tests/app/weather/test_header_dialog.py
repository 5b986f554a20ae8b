"""The dialog of columns: proposes, asks for what is open, and what it says is read back."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.weather.files import csv_bytes
from app.weather.header_dialog import HeaderDialog, date_order, needs_a_person
from app.weather.reading import open_file
from planner.weather.csv_rows import Table, read_table
from planner.weather.services import forecast_series
from tests.app.weather.cases import LONDON, made

ODD = "Datum;Zeit;Temp (°F);RH;Niederschlag;Wind;Druck\n" + "\n".join(
    f"22.03.2027;{hour:02d}:00;{50 + hour / 2:.1f};80;0,2;36;1013".replace(".5;", ",5;").replace(".0;", ",0;")
    for hour in range(24)
)


def table_of(text: str) -> Table:
    table = read_table(text.encode())
    assert isinstance(table, Table)
    return table


def test_our_own_sheets_need_nobody() -> None:
    assert not needs_a_person(table_of(csv_bytes(made()).decode()))
    assert needs_a_person(table_of(ODD))


@pytest.mark.parametrize(
    ("dates", "order"),
    [(("2027-03-22",), "ymd"), (("22.03.2027",), "dmy"), (("3/4/2027", "3/22/2027"), "mdy"), (("3/4/2027",), "dmy")],
)
def test_the_order_of_dates_shows_in_the_cells(dates: tuple[str, ...], order: str) -> None:
    assert date_order(table_of("time,x\n" + "\n".join(f"{date} 01:00,1" for date in dates)), 0) == order


def test_what_the_dialog_says_reads_the_sheet(qtbot: QtBot) -> None:
    dialog = HeaderDialog(table_of(ODD), "odd.csv")
    qtbot.addWidget(dialog)
    dialog.units["wind_ms"].setCurrentText("km/h")
    series = forecast_series(ODD.encode(), "odd.csv", LONDON, columns=dialog.said)
    assert np.allclose(series.air_c, (50 + np.arange(24) / 2 - 32) * 5 / 9)
    assert np.allclose(series.wind_ms, 10.0)
    assert np.allclose(series.rain_mm, 0.2)
    assert np.allclose(series.cloud_pct, 60.0)
    assert series.hours == 24


def test_it_waits_until_every_column_is_chosen_once(qtbot: QtBot) -> None:
    dialog = HeaderDialog(table_of("when,a,b,c,d\n2027-03-22T00:00,1,2,3,4\n"), "x.csv")
    qtbot.addWidget(dialog)
    accept = dialog.buttons.buttons()[0]
    assert not accept.isEnabled()
    assert "Air" in dialog.words.text()
    dialog.time.setCurrentIndex(1)
    for number, column in enumerate(("air_c", "humidity_pct", "rain_mm", "wind_ms"), start=2):
        dialog.columns[column].setCurrentIndex(number)
    assert accept.isEnabled()
    dialog.columns["wind_ms"].setCurrentIndex(2)
    assert "Chosen twice: a" in dialog.words.text()
    assert not accept.isEnabled()


def test_all_choices_have_names_for_screen_readers(qtbot: QtBot) -> None:
    dialog = HeaderDialog(table_of(ODD), "odd.csv")
    qtbot.addWidget(dialog)
    boxes = (dialog.time, dialog.clock_time, dialog.order, dialog.clock, dialog.preview)
    assert all(box.accessibleName() for box in (*boxes, *dialog.columns.values(), *dialog.units.values()))


def test_a_file_is_looked_into_first(tmp_path: Path) -> None:
    odd, plain = tmp_path / "odd.csv", tmp_path / "plain.csv"
    odd.write_text(ODD, encoding="utf-8")
    plain.write_bytes(csv_bytes(made()))
    assert open_file(odd).table is not None
    assert open_file(plain).table is None


def test_the_sheets_own_headings_and_times_are_shown_whole(qtbot: QtBot) -> None:
    text = "Zeit;Windgeschwindigkeit in Bodennähe;" + "x" * 90 + "\n2027-03-22T00:00Z;3;1\n"
    dialog = HeaderDialog(table_of(text), "odd.csv")
    qtbot.addWidget(dialog)
    shown, metrics = dialog.preview, dialog.preview.fontMetrics()
    assert shown.columnWidth(0) >= metrics.horizontalAdvance("2027-03-22T00:00Z")
    assert shown.columnWidth(1) >= metrics.horizontalAdvance("Windgeschwindigkeit in Bodennähe")
    assert shown.columnWidth(2) <= 260
