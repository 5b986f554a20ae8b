"""The Weather view's chart and table in the window: keys, pointing, limits, sizes."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from app.theme import THEMES
from app.window import MainWindow
from tests.app.weather.at_window import colder


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
    assert names[0] == "none"
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
