"""What has little room: columns give way to each other, words end in an ellipsis, and nothing hides what matters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QApplication, QPushButton, QTableView, QWidget
from pytestqt.qtbot import QtBot

from app.elided_choice import ElidedChoice
from app.flow import Flow
from app.high_contrast import DARK_CONTRAST, LIGHT_CONTRAST
from app.palette import off_colour
from app.table_view.lines import HEADS
from app.telling_field import TellingField
from app.text_size import ColumnFitter
from app.theme import DARK, LIGHT, Theme, contrast
from app.weather.chart_frame import least_height, make_chart_frame
from app.window import MainWindow
from planner.findings import Finding


@pytest.fixture(autouse=True)
def _normal_text_after(qapp: QApplication) -> Iterator[None]:
    """The size of text is the application's; put it back for other tests."""
    font = qapp.font()
    yield
    qapp.setFont(font)


def table_of(qtbot: QtBot, width: int) -> QTableView:
    """Return a table of a long name that may give way, and a time and a state that may not."""
    model = QStandardItemModel(1, 3)
    model.setHorizontalHeaderLabels(["Name", "Time", "State"])
    for column, words in enumerate(("a name that goes on and on, as they do", "Wed 24 Mar 20:00", "requested")):
        model.setItem(0, column, QStandardItem(words))
    table = QTableView()
    qtbot.addWidget(table)
    model.setParent(table)
    table.setModel(model)
    ColumnFitter(table, {0: 60})
    table.resize(width, 120)
    table.show()
    return table


def test_columns_are_as_wide_as_their_words_where_there_is_room(qtbot: QtBot) -> None:
    table = table_of(qtbot, 900)
    assert all(table.columnWidth(column) >= table.sizeHintForColumn(column) for column in range(3))


def test_where_there_is_none_only_what_may_gives_way(qtbot: QtBot) -> None:
    table = table_of(qtbot, 300)
    assert 60 <= table.columnWidth(0) < table.sizeHintForColumn(0)
    assert all(table.columnWidth(column) >= table.sizeHintForColumn(column) for column in (1, 2))
    assert sum(table.columnWidth(column) for column in range(3)) <= table.viewport().width()
    table.resize(900, 120)
    assert table.columnWidth(0) >= table.sizeHintForColumn(0)


def test_what_the_user_drags_stays(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    table = table_of(qtbot, 300)
    monkeypatch.setattr("app.text_size.QGuiApplication.mouseButtons", lambda: Qt.MouseButton.LeftButton)
    table.resize(320, 120)
    table.resize(900, 120)
    assert table.columnWidth(0) >= table.sizeHintForColumn(0), "a panel's handle was dragged, no column"
    table.setColumnWidth(1, 200)
    monkeypatch.undo()
    table.resize(500, 120)
    assert table.columnWidth(1) == 200


def test_a_row_of_buttons_is_laid_again_when_one_says_more(qtbot: QtBot) -> None:
    box = QWidget()
    qtbot.addWidget(box)
    row = Flow(box)
    first, second = QPushButton("one"), QPushButton("two")
    row.addWidget(first)
    row.addWidget(second)
    box.show()
    wide = first.sizeHint().width() + second.sizeHint().width() + 8
    one_line = row.heightForWidth(wide)
    second.setText("two, and a good deal more")
    assert row.heightForWidth(wide) > one_line


def test_a_choice_ends_in_an_ellipsis_only_where_it_has_no_room(qtbot: QtBot) -> None:
    box = ElidedChoice()
    qtbot.addWidget(box)
    box.keep_to(12)
    box.addItems(["short", "the night gang of the northern river crossings"])
    box.resize(box.sizeHint())
    box.show()
    assert box.shown_words == "short"
    box.setCurrentIndex(1)
    assert box.shown_words.startswith("the night")
    assert box.shown_words.endswith("…")
    assert box.currentText() == "the night gang of the northern river crossings"


def test_a_field_without_room_says_all_in_its_tip(qtbot: QtBot) -> None:
    field = TellingField("a short note", toolTip="What there is to say")
    qtbot.addWidget(field)
    field.resize(200, 24)
    assert field.tip_words == "What there is to say"
    field.setText("the clocks go forward in the night of 27 to 28 March, and a closure is nine hours long")
    assert field.tip_words == f"{field.text()}\nWhat there is to say"


@pytest.mark.parametrize("gangs", [1, 4, 8])
def test_where_the_weather_chart_is_low_rain_and_wind_make_way_for_the_gangs(gangs: int) -> None:
    full = make_chart_frame(900, least_height(gangs), gangs)
    assert full.rain.height > 0
    low = make_chart_frame(900, least_height(gangs) - 1, gangs)
    assert (low.rain.height, low.wind.height) == (0, 0)
    lowest = least_height(gangs, panes=False)
    assert make_chart_frame(900, lowest, gangs).bottom <= lowest
    assert lowest < least_height(gangs)


@pytest.mark.parametrize("theme", [LIGHT, DARK, LIGHT_CONTRAST, DARK_CONTRAST], ids=lambda theme: theme.name)
def test_what_cannot_be_used_can_be_read_and_looks_weaker(theme: Theme) -> None:
    off = contrast(off_colour(theme), theme.panel)
    assert 4.5 <= off < contrast(theme.ink, theme.panel) / 1.5


def test_in_the_largest_text_a_laptop_shows_how_the_plan_stands(own_window: MainWindow, qapp: QApplication) -> None:
    own_window.looks.set_text_size("very large")
    own_window.resize(1366, 768)
    own_window.header.status.setText(
        "Finish Sun 18 Apr 00:00  ·  6 closures used  ·  33 crew-days  ·  earliest finish proved"
    )
    qapp.processEvents()
    status = own_window.header.status
    assert status.fontMetrics().horizontalAdvance(status.text()) <= status.width()


def test_the_forecast_leaves_room_for_what_is_told(own_window: MainWindow, qapp: QApplication) -> None:
    own_window.looks.set_text_size("very large")
    own_window.resize(1366, 768)
    own_window.forecast.setText("Forecast: " + "a mild week, then a cold snap, " * 5)
    qapp.processEvents()
    assert own_window.forecast.x() >= 0.35 * own_window.statusBar().width()


def test_the_board_keeps_its_width_when_something_breaks(own_window: MainWindow, qapp: QApplication) -> None:
    session, panel = own_window.session, own_window.findings
    assert session is not None
    before = own_window.split.sizes()
    breach = Finding("gap-missed", session.work.operations[0].key, "a gap of 2 h", "missed by 3 h")
    panel.show_session(replace(session, findings=(breach,) * 12))
    qapp.processEvents()
    assert panel.mend.isVisible()
    assert own_window.split.sizes() == before


def test_on_a_laptop_the_table_shows_each_state_without_scrolling(own_window: MainWindow, qtbot: QtBot) -> None:
    own_window.views.show("table")
    table = own_window.pages["table"].table  # type: ignore[attr-defined]
    qtbot.waitUntil(lambda: table.model().rowCount() > 0)
    state = HEADS.index("State")
    assert table.columnViewportPosition(state) + table.columnWidth(state) <= table.viewport().width()
    assert table.horizontalScrollBar().value() == 0
    assert table.model().headerData(state, Qt.Orientation.Horizontal) == "State"
