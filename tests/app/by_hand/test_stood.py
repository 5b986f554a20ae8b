"""Outlines of where the work stood: what differs and nothing else, in the picture and by key."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.board.ghosts import ghosts_of, make_ghosts
from app.board.kit import Kit
from app.board.view import BoardView
from app.theme import LIGHT
from app.window import MainWindow
from planner.model import Placement
from planner.units import Slot
from tests.app.cases import small_facts

FACTS = small_facts()
FIRST = FACTS.rows[0].children[0]


def placed(key: str, start: int, finish: int, visit: int = 1) -> Placement:
    return Placement(key, visit, "g1", Slot(start), Slot(finish))


def test_only_what_stood_elsewhere_is_outlined() -> None:
    ghosts = make_ghosts([placed("E1/prime", 4, 12), placed("E1/coat", 28, 36), placed("E1/gone", 50, 60)])
    (coat,) = ghosts_of(FIRST, ghosts)
    assert (coat.key, coat.start, coat.finish, coat.now) == ("E1/coat", 28, 36, 32)
    assert ghosts_of(FACTS.rows[0], ghosts) == ()
    assert ghosts_of(FIRST.children[1], ghosts) == (coat,)


def test_a_visit_that_is_no_more_is_outlined_too() -> None:
    ghosts = make_ghosts([placed("E1/coat", 32, 40), placed("E1/coat", 44, 48, visit=2)])
    (second,) = ghosts_of(FIRST, ghosts)
    assert (second.start, second.now) == (44, None)


def picture(board: BoardView) -> QImage:
    return board.viewport().grab().toImage()


def test_outlines_come_and_go_in_the_picture(qapp: QApplication, qtbot: QtBot) -> None:
    board = BoardView(FACTS, Kit(LIGHT))
    qtbot.addWidget(board)
    board.resize(1200, 600)
    plain = picture(board)
    board.set_ghosts([placed("E1/coat", 20, 28)])
    assert picture(board) != plain
    board.set_ghosts([placed("E1/coat", 32, 40)])
    assert picture(board) == plain
    board.set_ghosts(None)
    assert picture(board) == plain
    assert board.look.ghosts == {}


def test_the_key_outlines_the_last_step_and_follows_undo(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = own_window.board, own_window.session
    assert board is not None
    assert session is not None
    qtbot.keyClick(board, Qt.Key.Key_G)
    assert board.look.ghosts == {}
    assert "no step was made" in own_window.statusBar().currentMessage()
    key = session.gaps[0].after
    board.go_to(key)
    start = board.facts.visits_of(key)[0].start
    for _ in range(2):
        qtbot.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(board, Qt.Key.Key_G)
    row = board.facts.element_of(key)
    assert row is not None
    assert [(one.start, one.now) for one in ghosts_of(row, board.look.ghosts)] == [(start + 1, start + 2)]
    own_window.actions_by_name["undo"].trigger()
    row = board.facts.element_of(key)
    assert row is not None
    assert [(one.start, one.now) for one in ghosts_of(row, board.look.ghosts)] == [(start, start + 1)]
    own_window.actions_by_name["undo"].trigger()
    assert board.look.ghosts == {}
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=20_000)


def test_asked_again_the_outlines_go(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = own_window.board, own_window.session
    assert board is not None
    assert session is not None
    board.go_to(session.gaps[0].after)
    qtbot.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(board, Qt.Key.Key_G)
    assert board.look.ghosts
    assert replace(board.look, ghosts={}) != board.look
    own_window.actions_by_name["stood"].trigger()
    assert board.look.ghosts == {}
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=20_000)
