"""The table of hours: sound as a model, asks to change and never changes by itself."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.theme import LIGHT
from app.weather.hour_view import HourView
from app.weather.snapshot import as_read, with_cell
from app.weather.table_model import HourTable
from tests.app.weather.cases import chart, made

ROLE = Qt.ItemDataRole


def model_of(qtbot: QtBot, hours: int = 169) -> HourTable:
    model = HourTable()
    series = made(hours)
    model.set_snapshot(as_read(series), chart(series))
    return model


def test_it_is_a_sound_model(qtbot: QtBot) -> None:
    model = HourTable()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    series = made()
    model.set_snapshot(as_read(series), chart(series))
    model.set_snapshot(with_cell(as_read(series), "air_c", 3, "1"), chart(series))
    shorter = made(50)
    model.set_snapshot(as_read(shorter), chart(shorter))
    assert model.rowCount() == 50
    assert tester.model() is model


def test_headings_and_values(qtbot: QtBot) -> None:
    model = model_of(qtbot)
    data = chart(made())
    headings = [model.headerData(n, Qt.Orientation.Horizontal) for n in range(model.columnCount())]
    assert headings[0] == "Time"
    assert {heading.split("\n")[0] for heading in headings} >= {
        "Air",
        "Dew point",
        "Rain",
        "Wind",
        "Humidity",
        "Cloud",
    }
    assert [heading for heading in headings if heading.startswith("Surface")] == [
        "Surface A °C\n0.3 m",
        "Surface B °C\n1 m",
    ]
    assert model.data(model.index(0, 0)) == "Mon 22 Mar 00:00"
    air = model.column_of("air_c")
    assert model.data(model.index(7, air)) == f"{data.series.air_c[7]:.1f}"
    surface = headings.index("Surface B °C\n1 m")
    assert model.data(model.index(7, surface)) == f"{data.surfaces[1][1][28]:.1f}"
    assert not model.flags(model.index(7, surface)) & Qt.ItemFlag.ItemIsEditable
    assert model.flags(model.index(7, air)) & Qt.ItemFlag.ItemIsEditable


def test_the_hour_that_is_skipped_in_spring_is_not_there(qtbot: QtBot) -> None:
    model = model_of(qtbot)
    times = [model.data(model.index(row, 0)) for row in range(144, 149)]
    assert times[:3] == ["Sun 28 Mar 00:00", "Sun 28 Mar 02:00", "Sun 28 Mar 03:00"]


def test_changes_are_told_by_weight_and_words_not_colour_alone(qtbot: QtBot) -> None:
    model, before = HourTable(), as_read(made())
    after = with_cell(before, "wind_ms", 4, "3.5")
    model.set_theme(LIGHT)
    model.set_snapshot(after, chart(after.series))
    index = model.index(4, model.column_of("wind_ms"))
    assert model.data(index, ROLE.FontRole).bold()
    assert f"it was {before.series.wind_ms[4]:.1f} m/s" in model.data(index, ROLE.ToolTipRole)
    assert model.data(model.index(5, index.column()), ROLE.FontRole) is None


def test_typing_asks_and_changes_nothing(qtbot: QtBot) -> None:
    model = model_of(qtbot)
    view = HourView(model)
    qtbot.addWidget(view)
    view.resize(900, 300)
    view.show()
    index = model.index(2, model.column_of("air_c"))
    shown = model.data(index)
    view.setCurrentIndex(index)
    with qtbot.waitSignal(model.typed) as heard:
        qtbot.keyClicks(view, "4")
        editor = view.findChild(QLineEdit)
        assert editor is not None
        qtbot.keyClicks(editor, ",5")
        qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert heard.args[:2] == ["air_c", 2]
    assert heard.args[2].endswith("4,5")
    assert model.data(index) == shown
    assert not model.setData(index, shown)


def test_a_selection_of_several_rows_is_a_stretch(qtbot: QtBot) -> None:
    model = model_of(qtbot)
    view = HourView(model)
    qtbot.addWidget(view)
    view.go_to_row(10)
    assert view.selected_rows() is None
    view.clearSelection()
    view.setCurrentIndex(model.index(10, 1))
    for _ in range(3):
        qtbot.keyClick(view, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert view.selected_rows() == (10, 13)
