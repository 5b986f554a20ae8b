"""Pins from the board: written into the job as a step of undo, kept by planning, said and shown."""

from __future__ import annotations

import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from app.board.view import BoardView
from app.by_hand.pins import pinned_here, turned_pins, without_pins
from app.hand_moves import moved_to
from app.session import Session, open_session, with_placed, with_text
from app.window import MainWindow
from planner.findings import Weight
from planner.jobfile.load import load_job
from planner.jobfile.planfile import read_plan
from planner.jobfile.write import changed_text
from planner.solve.run import solve_job

WAIT_MS = 20_000


@pytest.fixture
def session(own_file: Path, plan_file: Path) -> Session:
    opened = open_session(own_file)
    return with_placed(opened, read_plan(plan_file, opened.loaded.job))


def of(window: MainWindow) -> tuple[BoardView, Session]:
    assert window.board is not None
    assert window.session is not None
    assert window.session.plan is not None
    return window.board, window.session


def settle(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not window.editor.busy and not window.mover.asker.busy, timeout=WAIT_MS)


def keys_of(session: Session) -> list[str]:
    assert session.plan is not None
    return [placed.operation for placed in session.plan.placements]


def with_changes(session: Session, changes: dict[tuple[str | int, ...], object]) -> Session:
    return with_text(session, changed_text(session.loaded.text, changes))


def test_the_pin_key_pins_and_unpins_in_steps_of_undo(own_window: MainWindow, qtbot: QtBot) -> None:
    board, before = of(own_window)
    key = keys_of(before)[1]
    board.go_to(key)
    assert own_window.details.pin.text() == "Pin here"
    qtbot.keyClick(board, Qt.Key.Key_P)
    settle(own_window, qtbot)
    _, pinned = of(own_window)
    assert [pin.operation for pin in pinned.loaded.job.pins] == [key]
    row = board.facts.element_of(key)
    assert row is not None
    assert [visit.pinned for visit in row.visits if visit.key == key] == [True]
    assert own_window.isWindowModified()
    assert own_window.details.pin.text() == "Unpin"
    qtbot.waitUntil(lambda: "Pinned" in own_window.details.words.toPlainText(), timeout=WAIT_MS)
    assert "breach" not in own_window.header.status.text()
    own_window.actions_by_name["undo"].trigger()
    assert of(own_window)[1] is before
    own_window.actions_by_name["redo"].trigger()
    qtbot.mouseClick(own_window.details.pin, Qt.MouseButton.LeftButton)
    settle(own_window, qtbot)
    assert of(own_window)[1].loaded.job.pins == ()
    assert of(own_window)[1].loaded.text.rstrip() == before.loaded.text.rstrip()


def test_a_pinned_bar_moved_is_a_breach_and_can_be_pinned_where_it_stands(
    own_window: MainWindow, qtbot: QtBot
) -> None:
    board, before = of(own_window)
    key = keys_of(before)[-1]
    board.go_to(key)
    qtbot.keyClick(board, Qt.Key.Key_P)
    settle(own_window, qtbot)
    qtbot.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    settle(own_window, qtbot)
    _, moved = of(own_window)
    assert [one.code for one in moved.findings if one.weight is Weight.BREACH] == ["pin-moved"]
    assert own_window.details.pin.text() == "Pin here"
    qtbot.keyClick(board, Qt.Key.Key_P)
    settle(own_window, qtbot)
    _, again = of(own_window)
    assert not [one for one in again.findings if one.weight is Weight.BREACH]
    assert len(again.loaded.job.pins) == 1


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_right_click_on_a_bar_offers_the_pin(own_window: MainWindow, qtbot: QtBot) -> None:
    board, session = of(own_window)
    key = keys_of(session)[0]
    board.go_to(key)
    at = board.viewport().mapFromGlobal(board._foot_of_bar()) - QPoint(-6, 8)
    board.select(None)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, board.viewport().mapToGlobal(at))
    QApplication.sendEvent(board.viewport(), event)
    menu = next(one for one in own_window.findChildren(QMenu) if one.isVisible())
    assert board.look.selected == key
    action = next(one for one in menu.actions() if one.text().startswith("Pin here"))
    action.trigger()
    menu.close()
    settle(own_window, qtbot)
    assert [pin.operation for pin in of(own_window)[1].loaded.job.pins] == [key]


def test_planning_leaves_what_is_pinned_where_it_is(session: Session, own_file: Path) -> None:
    assert session.plan is not None
    last = max(session.plan.placements, key=lambda one: one.finish)
    wall = session.facts.time.local(last.start + 4).replace(tzinfo=None)
    pin = {"operation": last.operation, "start": wall}
    loaded = load_job(own_file, text=changed_text(session.loaded.text, {("pins", 0): pin}))
    found = solve_job(loaded.job, loaded.weather, seconds=20, trials=5)
    assert found.plan is not None
    assert found.plan.visits_of(last.operation)[0].start == last.start + 4


def test_several_are_pinned_at_once_and_what_is_pinned_already_stays(session: Session) -> None:
    keys = list(dict.fromkeys(keys_of(session)))
    first = with_changes(session, turned_pins(session, keys[:1]))
    both = with_changes(first, turned_pins(first, keys))
    assert [pin.operation for pin in both.loaded.job.pins] == keys
    assert turned_pins(both, keys) == without_pins(both, keys)
    assert with_changes(both, without_pins(both, keys[1:])).loaded.job.pins == first.loaded.job.pins


def test_a_pin_by_hand_takes_the_place_of_a_time_within_which_it_starts(session: Session) -> None:
    key = keys_of(session)[0]
    day = session.facts.time.local(0).replace(tzinfo=None)
    window = {
        "operation": key,
        "not_before": day,
        "not_after": day + timedelta(days=1),
        "note": "crane",
    }
    loose = with_changes(session, {("pins", 0): window})
    fixed = with_changes(loose, pinned_here(loose, [key])).loaded.job.pins[0]
    assert (fixed.not_before, fixed.not_after, fixed.note) == (None, None, "crane")
    assert fixed.start is not None


def test_a_start_in_the_hour_that_comes_twice_is_not_pinned_elsewhere(own_file: Path, tmp_path: Path) -> None:
    text = (
        own_file.read_text(encoding="utf-8").replace("2027-06-08", "2027-10-30").replace("2027-06-09", "2027-10-31")
    )
    file = Path(shutil.copy(own_file, tmp_path / "clocks.toml"))
    file.write_text(text, encoding="utf-8")
    opened = open_session(file)
    found = solve_job(opened.loaded.job, opened.loaded.weather, seconds=20, trials=2)
    assert found.plan is not None
    session = with_placed(opened, found.plan)
    key = found.plan.placements[0].operation
    twice = next(slot for slot in range(session.facts.horizon) if is_second_pass(session, slot))
    with pytest.raises(ValueError, match="shows twice"):
        pinned_here(moved_to(session, key, 1, twice), [key])
    assert pinned_here(moved_to(session, key, 1, twice - 5), [key])


def is_second_pass(session: Session, slot: int) -> bool:
    return session.facts.time.local(slot).fold == 1
