"""What is found about the selected operation stands once, marked in the list; the selection survives new numbers."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.board.facts import Visit
from app.board.hit import followed
from app.window import MainWindow
from planner.findings import Weight

WAIT_MS = 20_000
RIGHT, SHIFT = Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier


def marked(window: MainWindow) -> list[str]:
    items = [window.findings.list.item(row) for row in range(window.findings.list.count())]
    return [item.data(Qt.ItemDataRole.UserRole).words for item in items if item.isSelected()]


def test_a_breach_stands_once_and_is_marked_with_its_bar(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = own_window.board, own_window.session
    assert board is not None
    assert session is not None
    assert session.plan is not None
    row = next(row for row in session.gaps if row.spare_shut is not None)
    board.go_to(row.before)
    for _ in range((row.spare_shut or 0) + 2):
        qtbot.keyClick(board, RIGHT, SHIFT)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=WAIT_MS)
    qtbot.waitUntil(lambda: not own_window.details.asker.busy, timeout=WAIT_MS)
    moved = own_window.session
    assert moved is not None
    late = next(one for one in moved.findings if one.code == "gap-late")
    text = own_window.details.words.toPlainText()
    assert late.required not in text
    assert "marked in the list below" in text
    assert late.place == row.before
    assert marked(own_window) == [one.words for one in moved.findings if one.place == row.before]
    board.select(None)
    assert marked(own_window) == []


def test_the_method_note_is_read_in_the_details(own_window: MainWindow, qtbot: QtBot, own_file: Path) -> None:
    own_window.editor.change("note", {("methods", 0, "note"): "Two coats <b>wet</b> on dry."})
    qtbot.waitUntil(lambda: not own_window.editor.busy, timeout=WAIT_MS)
    assert own_window.board is not None
    assert own_window.session is not None
    own_window.board.go_to(own_window.session.gaps[0].before)
    assert "Two coats <b>wet</b> on dry." in own_window.details.words.toPlainText()


def visit(start: int, number: int, gang: int = 0) -> Visit:
    return Visit("E/o", "Coat", gang, start, start + 4, number, 2)


def test_a_visit_keeps_the_selection_when_it_passes_another() -> None:
    before = (visit(10, 1), visit(20, 2))
    passed = (visit(20, 1), visit(24, 2))
    assert followed(before, passed, 1) == 2
    assert followed(before, passed, 2) == 1
    assert followed(passed, before, 2) == 1
    assert followed(passed, before, 1) == 2


def test_a_visit_keeps_the_selection_when_all_move_or_its_gang_changes() -> None:
    assert followed((visit(10, 1), visit(20, 2)), (visit(11, 1), visit(21, 2)), 2) == 2
    assert followed((visit(10, 1), visit(20, 2)), (visit(10, 1, gang=1), visit(20, 2)), 1) == 1
    assert followed((visit(10, 1),), (), 1) == 1


def test_nudging_a_first_visit_past_the_second_moves_it_on_and_on(own_window: MainWindow, qtbot: QtBot) -> None:
    """Two findings do not make the list jump, and undo leaves the same visit selected."""
    board = own_window.board
    assert board is not None
    assert own_window.session is not None
    key = own_window.session.gaps[0].after
    board.go_to(key)
    starts = []
    for _ in range(3):
        qtbot.keyClick(board, RIGHT, SHIFT)
        starts.append(next(one.start for one in board.facts.visits_of(key) if one.number == board.chosen[0][1]))
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=WAIT_MS)
    assert [b - a for a, b in pairwise(starts)] == [1, 1]
    assert not [one for one in own_window.session.findings if one.weight is Weight.BREACH and one.slot is None]
