"""The overview strip: every bar of the job in it, the part in view framed, and a click that goes there."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from app.board.geometry import Box
from app.board.kit import Kit
from app.board.overview_shapes import blocks_of, strip_of
from app.board.rows import Density, Folding, plan_rows
from app.board.view import BoardView
from app.seek.place import BoardPlace
from app.theme import LIGHT
from tests.app.cases import many_facts, small_facts

AREA = Box(200, 0, 800, 300)


@pytest.fixture
def place(qtbot: QtBot) -> Iterator[BoardPlace]:
    made = BoardPlace()
    qtbot.addWidget(made)
    made.resize(1200, 700)
    made.set_board(BoardView(many_facts(60, 40), Kit(LIGHT)))
    made.show()
    yield made
    made.close()


def test_every_bar_is_in_the_strip_once_and_in_its_row() -> None:
    facts = many_facts(30, 20)
    rows = plan_rows(facts, Folding(), Density.COMPACT)
    strip = strip_of(AREA, facts, 50.0, rows)
    blocks = blocks_of(rows, strip)
    boxes = [box for group in blocks.bars.values() for box in group]
    assert len(boxes) == 600
    assert all(strip.left <= x and x + wide <= strip.left + strip.width + 2 for x, _, wide, _ in boxes)
    assert all(y >= 0 and y + tall <= 50.0 for _, y, _, tall in boxes)
    assert len({y for _, y, _, _ in boxes}) == 30


def test_folded_elements_show_on_their_structure_and_headings_take_no_room() -> None:
    facts = small_facts()
    shut = plan_rows(facts, Folding(frozenset({"S"})), Density.TALL)
    blocks = blocks_of(shut, strip_of(AREA, facts, 50.0, shut))
    assert len({y for group in blocks.bars.values() for _, y, _, _ in group}) == 1
    assert sum(len(group) for group in blocks.bars.values()) == 5
    assert len(blocks.broken) == 1


def test_places_in_the_strip_and_on_the_board_are_each_others_inverse() -> None:
    facts = many_facts(30, 20)
    rows = plan_rows(facts, Folding(), Density.COMPACT)
    strip = strip_of(AREA, facts, 50.0, rows)
    for slot in (strip.first, 31, strip.last):
        assert strip.slot(strip.x(slot)) == pytest.approx(slot)
    for box in rows.boxes:
        if box.row.children and box.row.visits:
            assert strip.content_y(strip.y(box.top + 5)) == pytest.approx(box.top + 5)
    assert strip.y(-5) == strip.y(0)
    assert strip.y(rows.height + 900) <= 50.0


def test_a_click_brings_that_part_into_the_middle_of_the_board(place: BoardPlace, qtbot: QtBot) -> None:
    board, overview = place.board, place.overview
    assert board is not None
    board.zoom(8)
    for share in (0.7, 0.3):
        strip = overview.strip
        at = QPoint(round(strip.left + strip.width * share), round(strip.height * 0.6))
        qtbot.mouseClick(overview, Qt.MouseButton.LeftButton, pos=at)
        middle = board.display.scale.slot(board.look.x + board.frame_boxes.rows.width / 2)
        assert middle == pytest.approx(strip.slot(at.x()), abs=2)
        assert board.look.y > 0


def test_dragging_in_the_strip_scrolls_on(place: BoardPlace, qtbot: QtBot) -> None:
    board, overview = place.board, place.overview
    assert board is not None
    board.zoom(8)
    strip = overview.strip
    y = round(strip.height / 2)
    qtbot.mousePress(overview, Qt.MouseButton.LeftButton, pos=QPoint(round(strip.left + 200), y))
    first = board.look.x
    qtbot.mouseMove(overview, QPoint(round(strip.left + 400), y))
    assert board.look.x > first
    qtbot.mouseRelease(overview, Qt.MouseButton.LeftButton, pos=QPoint(round(strip.left + 400), y))


def test_the_strip_is_drawn_once_however_the_board_scrolls(place: BoardPlace, qtbot: QtBot) -> None:
    board, overview = place.board, place.overview
    assert board is not None
    overview.grab()
    picture = overview._picture
    board.zoom(4)
    before = overview.grab().toImage()
    board.horizontalScrollBar().setValue(board.horizontalScrollBar().value() + 500)
    assert overview.grab().toImage() != before
    assert overview._picture is picture
    board.set_facts(many_facts(60, 30))
    overview.grab()
    assert overview._picture is not picture
