"""The filter: rows without anything asked for go, other bars pale, a strip says so, and Esc shows all."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.board.display import Display
from app.board.facts import Facts
from app.board.filters import NO_FILTER, Filter, elements_asked_for, only
from app.board.frame import make_frame
from app.board.geometry import Scale
from app.board.kit import Kit
from app.board.look import Look
from app.board.paint import paint_board
from app.board.rows import Density, Folding
from app.session import Session
from app.theme import LIGHT
from app.window import MainWindow
from tests.app.cases import small_facts

FACTS = small_facts()
ALL = frozenset({"E1", "E2"})


@pytest.mark.parametrize(
    ("asked", "left"),
    [
        (NO_FILTER, ALL),
        (Filter(gang=0), {"E1"}),
        (Filter(gang=1), ALL),
        (Filter(structure="S"), ALL),
        (Filter(structure="elsewhere"), set()),
        (Filter(closure="C1"), set()),
        (Filter(last=40), {"E1"}),
        (Filter(first=108), set()),
        (Filter(first=104, last=200), {"E1"}),
        (Filter(gang=0, first=80), set()),
    ],
)
def test_elements_with_a_bar_that_meets_all_of_it_stay(asked: Filter, left: set[str]) -> None:
    assert elements_asked_for(FACTS, asked) == left


def test_a_filter_of_all_is_the_same_board_and_one_of_none_is_empty() -> None:
    assert only(FACTS, ALL) is FACTS
    assert only(FACTS, frozenset()).rows == ()


def test_the_bars_in_a_closure_are_those_planned_in_it(viaduct: Session) -> None:
    assert viaduct.plan is not None
    closure = viaduct.plan.closures_used[0]
    expected = {one.operation.split("/")[0] for one in viaduct.plan.placements if one.closure == closure}
    assert elements_asked_for(viaduct.facts, Filter(closure=closure)) == expected


def painted(facts: Facts, asked: Filter) -> QImage:
    kit = Kit(LIGHT)
    image = QImage(900, 500, QImage.Format.Format_ARGB32_Premultiplied)
    display = Display(facts, Scale(5.0), Folding(), Density.TALL, kit.measure)
    with QPainter(image) as painter:
        paint_board(painter, kit, display, make_frame(facts, 900, 500, 0), Look(asked=asked))
    return image


def test_bars_that_are_not_asked_for_pale_and_the_others_do_not(qapp: QApplication) -> None:
    plain, filtered = painted(FACTS, NO_FILTER), painted(FACTS, Filter(gang=0))
    frame = make_frame(FACTS, 900, 500, 0)
    display = Display(FACTS, Scale(5.0), Folding(), Density.TALL, Kit(LIGHT).measure)
    for bar in display.everything()[1].bars.shapes:
        x, y = int(frame.rows.x + bar.x1 - 4), int(frame.rows.y + bar.y + 3)
        if x < 900:
            assert (plain.pixelColor(x, y) == filtered.pixelColor(x, y)) == (bar.visit.gang == 0)


def rows_of(window: MainWindow) -> list[str]:
    assert window.board is not None
    return [row.id for group in window.board.facts.rows for row in group.children]


def test_a_filter_is_chosen_seen_and_taken_off(own_window: MainWindow, qtbot: QtBot) -> None:
    board, strip = own_window.board, own_window.place.filter
    assert board is not None
    whole = rows_of(own_window)
    own_window.actions_by_name["filter"].trigger()
    assert strip.isVisible()
    assert strip.title.text() == "Filter"
    strip.first.setCurrentIndex(strip.first.count() - 1)
    strip.last.setCurrentIndex(1)
    assert rows_of(own_window) == []
    assert strip.title.text() == "Filter on"
    assert strip.says.text() == f"0 of {len(whole)}"
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert rows_of(own_window) == whole
    assert strip.isHidden()
    assert board.facts is board.whole


def test_going_to_what_is_filtered_out_shows_all_again(own_window: MainWindow) -> None:
    board, session = own_window.board, own_window.session
    assert board is not None
    assert session is not None
    assert session.plan is not None
    own_window.actions_by_name["filter"].trigger()
    strip = own_window.place.filter
    strip.first.setCurrentIndex(2)
    strip.last.setCurrentIndex(1)
    assert rows_of(own_window) == []
    key = session.plan.placements[0].operation
    assert board.go_to(key)
    assert board.look.selected == key
    assert not board.look.asked.is_on


def test_the_filter_stays_when_the_plan_changes(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = own_window.board, own_window.session
    assert board is not None
    assert session is not None
    own_window.actions_by_name["filter"].trigger()
    own_window.place.filter.gang.setCurrentIndex(1)
    asked = board.look.asked
    assert asked == replace(NO_FILTER, gang=0)
    board.go_to(session.gaps[0].after)
    qtbot.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=20_000)
    assert board.look.asked == asked
    assert own_window.place.filter.isVisible()
