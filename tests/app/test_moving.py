"""Work moved by hand in the window: dragged past its gap the finding comes, and undo and redo go back and forth."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.board.view import BoardView
from app.hand_moves import are_legal, moved_to
from app.session import Session, open_session, with_placed
from app.settings import Settings
from app.window import MainWindow
from planner.audit.check import audit
from planner.findings import Weight
from planner.jobfile.planfile import read_plan
from planner.model import PlanStatus

WAIT_MS = 20_000
LEFT, SHIFT = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, job_file: Path, plan_file: Path) -> MainWindow:
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    made = MainWindow(settings, command, clock=lambda: datetime(2024, 6, 4, 12, tzinfo=UTC))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=WAIT_MS):
        made.open_job(job_file)
    return made


@pytest.fixture
def session(job_file: Path, plan_file: Path) -> Session:
    opened = open_session(job_file)
    return with_placed(opened, read_plan(plan_file, opened.loaded.job))


def of(window: MainWindow) -> tuple[BoardView, Session]:
    assert window.board is not None
    assert window.session is not None
    assert window.session.plan is not None
    return window.board, window.session


def start_of(session: Session, key: str) -> int:
    assert session.plan is not None
    return session.plan.visits_of(key)[0].start


def shutting_gap(session: Session) -> tuple[str, int]:
    """Return an operation at the end of a gap that shuts, and by how many slots it may still go later."""
    row = next(row for row in session.gaps if row.spare_shut is not None)
    return row.before, row.spare_shut or 0


def grip(board: BoardView, key: str) -> QPoint:
    board.go_to(key)
    rows = [row for row in board.display.everything() if row.box.row.children]
    bar = next(bar for row in rows for bar in row.bars.shapes if bar.visit.key == key)
    area = board.frame_boxes.rows
    x, y = (bar.x0 + bar.x1) / 2 - board.look.x + area.x, bar.y + bar.height / 2 - board.look.y + area.y
    return QPoint(round(x), round(y))


def drag(qtbot: QtBot, board: BoardView, key: str, slots: int) -> Callable[[], None]:
    """Drag a bar by some slots in three moves; return what lets it go."""
    at = grip(board, key)
    qtbot.mousePress(board.viewport(), LEFT, pos=at)
    end = at
    for part in (0.4, 0.8, 1.0):
        end = at + QPoint(round(slots * part * board.display.scale.px), 0)
        qtbot.mouseMove(board.viewport(), end)
    return lambda: qtbot.mouseRelease(board.viewport(), LEFT, pos=end)


def breaches(session: Session) -> set[str]:
    return {one.code for one in session.findings if one.weight is Weight.BREACH}


def test_a_bar_dragged_past_its_gap_brings_the_finding_and_undo_takes_it_back(
    window: MainWindow, qtbot: QtBot
) -> None:
    board, before = of(window)
    key, spare = shutting_gap(before)
    slots = spare + 8
    said = window.details.words.toPlainText()
    release = drag(qtbot, board, key, slots)
    assert "breach" in window.findings.title.text()
    assert window.statusBar().currentMessage() in window.details.words.toPlainText()  # the times where it is held
    assert window.statusBar().currentMessage() not in said
    assert window.session is before
    with qtbot.waitSignal(window.mover.asker.answered, timeout=WAIT_MS):
        release()
    _, after = of(window)
    assert abs(start_of(after, key) - start_of(before, key) - slots) <= 1
    assert "gap-late" in breaches(after)
    assert "moved by hand: audit finds" in window.header.status.text()
    assert after.plan is not None
    assert after.plan.status is PlanStatus.FEASIBLE
    assert [one for one in after.findings if one.weight is Weight.BREACH] == list(
        audit(after.loaded.job, after.loaded.weather, after.plan)
    )
    window.actions_by_name["undo"].trigger()
    assert of(window)[1] is before
    assert window.statusBar().currentMessage().startswith("Taken back: move of ")
    assert "earliest finish proved" in window.header.status.text() or "works" in window.header.status.text()
    assert not window.actions_by_name["undo"].isEnabled()
    window.actions_by_name["redo"].trigger()
    assert of(window)[1] is after
    assert window.statusBar().currentMessage().startswith("Done again: move of ")


def test_keys_nudge_by_a_quarter_of_an_hour(window: MainWindow, qtbot: QtBot) -> None:
    board, before = of(window)
    key = before.gaps[0].before
    board.go_to(key)
    for _ in range(3):
        qtbot.keyClick(board, Qt.Key.Key_Right, SHIFT)
    qtbot.keyClick(board, Qt.Key.Key_Left, SHIFT)
    qtbot.waitUntil(lambda: not window.mover.asker.busy, timeout=WAIT_MS)
    assert start_of(of(window)[1], key) == start_of(before, key) + 2
    assert board.look.selected == key
    for _ in range(4):
        qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert of(window)[1] is before


def test_escape_puts_a_dragged_bar_back(window: MainWindow, qtbot: QtBot) -> None:
    board, before = of(window)
    key, spare = shutting_gap(before)
    release = drag(qtbot, board, key, spare + 8)
    qtbot.waitUntil(lambda: bool(board.look.lit), timeout=WAIT_MS)
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert of(window)[1] is before
    assert board.facts is before.facts
    assert board.look.lit == ()
    release()
    assert window.mover.stack.count() == 0


def test_legal_starts_light_up_along_the_row(window: MainWindow, qtbot: QtBot) -> None:
    board, before = of(window)
    key, spare = shutting_gap(before)
    release = drag(qtbot, board, key, spare + 8)
    qtbot.waitUntil(lambda: not window.mover._search.isActive(), timeout=WAIT_MS)
    lit = {slot for first, after in board.look.lit for slot in range(first, after)}
    assert start_of(before, key) in lit
    assert start_of(before, key) + spare + 8 not in lit
    for slot in range(start_of(before, key) - 12, start_of(before, key) + 12):
        assert (slot in lit) == are_legal(before, ((key, 1, slot),))
    with qtbot.waitSignal(window.mover.asker.answered, timeout=WAIT_MS):
        release()


def test_the_plan_saved_is_the_one_moved(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    board, before = of(window)
    assert before.plan is not None
    last = max(before.plan.placements, key=lambda one: one.finish).operation
    board.go_to(last)
    with qtbot.waitSignal(window.mover.asker.answered, timeout=WAIT_MS):
        qtbot.keyClick(board, Qt.Key.Key_Right, SHIFT)
    target = tmp_path / "moved.json"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    window.saver.save_plan()
    saved = read_plan(target, before.loaded.job)
    assert saved == of(window)[1].plan
    assert saved.status is PlanStatus.FEASIBLE
    assert saved.value == saved.finish / 96 > before.plan.value
    assert "value-wrong" not in breaches(of(window)[1])


def test_planning_again_is_a_step_that_undo_takes_back(window: MainWindow, qtbot: QtBot) -> None:
    board, before = of(window)
    board.go_to(before.gaps[0].before)
    with qtbot.waitSignal(window.mover.asker.answered, timeout=WAIT_MS):
        qtbot.keyClick(board, Qt.Key.Key_Right, SHIFT)
    moved = of(window)[1]
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.plan()
    assert of(window)[1].plan == before.plan
    assert "moved by hand" not in window.header.status.text()
    window.actions_by_name["undo"].trigger()
    assert of(window)[1] is moved
    assert "moved by hand" in window.header.status.text()


def test_a_move_says_what_the_whole_audit_says(session: Session) -> None:
    """Every operation by some slots, one after another: the breaches kept up move by move are the whole audit's."""
    now = session
    for number, placed in enumerate(session.plan.placements if session.plan else ()):
        now = moved_to(now, placed.operation, 1, max(0, start_of(now, placed.operation) + (-3, 5, 40)[number % 3]))
        assert now.plan is not None
        whole = audit(now.loaded.job, now.loaded.weather, now.plan)
        found = [one for one in now.findings if one.weight is Weight.BREACH]
        assert sorted(map(str, found)) == sorted(map(str, whole))
    fresh = with_placed(now, now.plan) if now.plan else now
    assert now.gaps == fresh.gaps
