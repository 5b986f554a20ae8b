"""Several bars chosen at once: by clicks, by keys, by a frame; moved and pinned together, in one step of undo."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from app.board.hit import bar_of
from app.board.kit import Kit
from app.board.view import BoardView
from app.hand_moves import all_moved_to, are_legal, moved_to, together
from app.session import Session, with_placed
from app.theme import LIGHT
from app.window import MainWindow
from planner.audit.check import audit
from planner.findings import Weight
from tests.app.cases import small_facts

LEFT = Qt.MouseButton.LeftButton
SHIFT, CONTROL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
PRIME, COAT, TOP, SAW, SET = ("E1/prime", 1), ("E1/coat", 1), ("E1/top", 1), ("E2/saw", 1), ("E2/set", 1)
WAIT_MS = 20_000


@pytest.fixture
def board(qtbot: QtBot) -> BoardView:
    made = BoardView(small_facts(), Kit(LIGHT))
    qtbot.addWidget(made)
    made.resize(1300, 700)
    made.show()
    made.fit()
    return made


def middle(board: BoardView, visit: tuple[str, int]) -> QPoint:
    bar = bar_of(board.display, *visit)
    assert bar is not None
    area = board.frame_boxes.rows
    x, y = (bar.x0 + bar.x1) / 2 - board.look.x + area.x, bar.y + bar.height / 2 - board.look.y + area.y
    return QPoint(round(x), round(y))


def click(qtbot: QtBot, board: BoardView, visit: tuple[str, int], keys: Qt.KeyboardModifier | None = None) -> None:
    qtbot.mouseClick(board.viewport(), LEFT, keys or Qt.KeyboardModifier.NoModifier, middle(board, visit))


def test_ctrl_click_chooses_one_more_and_one_less(board: BoardView, qtbot: QtBot) -> None:
    click(qtbot, board, PRIME)
    click(qtbot, board, SAW, CONTROL)
    click(qtbot, board, TOP, CONTROL)
    assert board.chosen[0] == TOP
    assert set(board.chosen) == {PRIME, SAW, TOP}
    click(qtbot, board, TOP, CONTROL)
    assert set(board.chosen) == {PRIME, SAW}
    assert "1 more chosen" in board.accessibleDescription()
    click(qtbot, board, COAT)
    assert board.chosen == (COAT,)


def test_shift_click_chooses_all_in_between_over_rows(board: BoardView, qtbot: QtBot) -> None:
    click(qtbot, board, PRIME)
    click(qtbot, board, TOP, SHIFT)
    assert board.chosen[0] == PRIME
    assert set(board.chosen) == {PRIME, COAT, TOP}
    click(qtbot, board, SAW)
    click(qtbot, board, TOP, SHIFT)
    assert set(board.chosen) == {SAW, SET, TOP}


def test_keys_choose_down_and_to_the_end_of_the_row(board: BoardView, qtbot: QtBot) -> None:
    board.select(*COAT)
    qtbot.keyClick(board, Qt.Key.Key_End, SHIFT)
    assert set(board.chosen) == {COAT, TOP}
    assert board.chosen[0] == COAT
    board.select(*TOP)
    qtbot.keyClick(board, Qt.Key.Key_Down, SHIFT)
    assert set(board.chosen) == {TOP, SET}
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert board.chosen == ()


def test_a_frame_chooses_what_it_touches(board: BoardView, qtbot: QtBot) -> None:
    start = middle(board, COAT) + QPoint(-12, 24)
    end = middle(board, TOP) + QPoint(4, -2)
    qtbot.mousePress(board.viewport(), LEFT, SHIFT, start)
    qtbot.mouseMove(board.viewport(), end)
    assert board.look.band is not None
    qtbot.mouseRelease(board.viewport(), LEFT, SHIFT, end)
    assert board.look.band is None
    assert set(board.chosen) == {COAT, TOP}


def test_escape_takes_the_frame_away_and_chooses_nothing(board: BoardView, qtbot: QtBot) -> None:
    start = middle(board, COAT) + QPoint(-12, 24)
    qtbot.mousePress(board.viewport(), LEFT, SHIFT, start)
    qtbot.mouseMove(board.viewport(), middle(board, TOP))
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert board.look.band is None
    qtbot.mouseRelease(board.viewport(), LEFT, SHIFT, middle(board, TOP))
    assert board.chosen == ()


def test_each_chosen_bar_is_ringed(board: BoardView, qtbot: QtBot) -> None:
    board.select(*PRIME)
    before = board.viewport().grab().toImage()
    board.choose({PRIME, SET}, PRIME)
    assert board.viewport().grab().toImage() != before


def of(window: MainWindow) -> tuple[BoardView, Session]:
    assert window.board is not None
    assert window.session is not None
    assert window.session.plan is not None
    return window.board, window.session


def starts(session: Session) -> dict[tuple[str, int], int]:
    assert session.plan is not None
    return {(one.operation, one.visit): one.start for one in session.plan.placements}


def test_what_is_chosen_is_nudged_together_in_one_step(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = of(own_window)
    before = starts(session)
    board.choose(list(before)[:2])
    qtbot.keyClick(board, Qt.Key.Key_Right, SHIFT)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=WAIT_MS)
    after = starts(of(own_window)[1])
    assert [after[visit] - before[visit] for visit in before] == [1, 1, *([0] * (len(before) - 2))]
    assert own_window.mover.stack.undoText() == "move of 2 visits"
    assert len(board.chosen) == 2
    own_window.actions_by_name["undo"].trigger()
    assert of(own_window)[1] is session


def test_what_is_chosen_is_dragged_together_and_the_findings_come(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = of(own_window)
    before = starts(session)
    visits = list(before)
    board.fit()
    board.choose(visits[:2], visits[0])
    at = middle(board, visits[1])
    qtbot.mousePress(board.viewport(), LEFT, pos=at)
    end = at
    for slots in (4, 9, 12):
        end = at + QPoint(round(slots * board.display.scale.px), 0)
        qtbot.mouseMove(board.viewport(), end)
    live = {(visit.key, visit.number): visit.start for key, _ in visits for visit in board.facts.visits_of(key)}
    moved = live[visits[1]] - before[visits[1]]
    assert moved > 8
    assert live[visits[0]] - before[visits[0]] == moved
    assert "breach" in own_window.findings.title.text()
    qtbot.mouseRelease(board.viewport(), LEFT, pos=end)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=WAIT_MS)
    assert own_window.mover.stack.count() == 1
    assert len(board.chosen) == 2


def test_a_click_on_one_of_several_leaves_only_that(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = of(own_window)
    visits = list(starts(session))
    board.fit()
    board.choose(visits[:3])
    qtbot.mouseClick(board.viewport(), LEFT, pos=middle(board, visits[1]))
    assert board.chosen == (visits[1],)


def test_several_are_pinned_at_once(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = of(own_window)
    keys = list(dict.fromkeys(key for key, _ in starts(session)))[:2]
    board.choose([(key, 1) for key in keys])
    assert own_window.details.pin.text() == "Pin 2 here"
    qtbot.keyClick(board, Qt.Key.Key_P)
    qtbot.waitUntil(lambda: not own_window.editor.busy, timeout=WAIT_MS)
    assert {pin.operation for pin in of(own_window)[1].loaded.job.pins} == set(keys)
    assert own_window.details.pin.text() == "Unpin 2"
    assert len(board.chosen) == 2


def test_a_group_stays_inside_the_job(viaduct: Session) -> None:
    assert viaduct.plan is not None
    visits = [(one.operation, one.visit) for one in viaduct.plan.placements]
    for slots in (-10_000, 10_000):
        moves = together(viaduct, visits, slots)
        lengths = {(one.operation, one.visit): one.finish - one.start for one in viaduct.plan.placements}
        assert min(start for _, _, start in moves) >= 0
        assert max(start + lengths[key, number] for key, number, start in moves) <= viaduct.facts.horizon
    shifts = {start - starts(viaduct)[key, number] for key, number, start in together(viaduct, visits, 7)}
    assert len(shifts) == 1


def test_moving_a_group_says_what_the_whole_audit_says(viaduct: Session) -> None:
    assert viaduct.plan is not None
    for first in range(0, len(viaduct.plan.placements), 23):
        group = [(one.operation, one.visit) for one in viaduct.plan.placements[first : first + 5]]
        moves = together(viaduct, group, 6)
        moved = all_moved_to(viaduct, moves)
        assert moved.plan is not None
        found = [str(one) for one in moved.findings if one.weight is Weight.BREACH]
        assert sorted(found) == sorted(map(str, audit(moved.loaded.job, moved.loaded.weather, moved.plan)))
        assert moved.gaps == with_placed(moved, moved.plan).gaps
        if are_legal(viaduct, moves):
            assert not found


def test_a_group_of_one_is_that_one(viaduct: Session) -> None:
    assert viaduct.plan is not None
    one = viaduct.plan.placements[5]
    alone = all_moved_to(viaduct, together(viaduct, [(one.operation, one.visit)], 3))
    assert alone.plan == moved_to(viaduct, one.operation, one.visit, one.start + 3).plan
