"""Mending the rest: what was moved by hand stays, little else moves, and reasons come where nothing can."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.by_hand.mend import mend_of, mended
from app.hand_moves import moved_to
from app.session import Session, open_session, with_placed
from app.settings import Settings
from app.window import MainWindow
from planner.audit.check import audit
from planner.audit.compare import compare
from planner.audit.terms import plan_terms
from planner.findings import Weight
from planner.jobfile.planfile import read_plan
from planner.model import Aim, Plan, Worths
from planner.solve.messages import Better, Done, SolveRequest, from_line, to_line

WAIT_MS = 30_000


@pytest.fixture
def session(own_file: Path, plan_file: Path) -> Session:
    opened = open_session(own_file)
    return with_placed(opened, read_plan(plan_file, opened.loaded.job))


def plan_of(session: Session) -> Plan:
    assert session.plan is not None
    return session.plan


def breaches(session: Session) -> list[str]:
    return [one.code for one in session.findings if one.weight is Weight.BREACH]


def asked(session: Session, seconds: float = 1.0) -> tuple[list[Better], Done]:
    """Ask the real solving process to mend a session."""
    mend = mend_of(session)
    assert mend is not None
    request = SolveRequest(
        1,
        str(session.loaded.path),
        aim="change",
        seconds=seconds,
        base=mend.base,
        held=mend.held,
        begun=mend.begun,
    )
    command = [sys.executable, "-m", "planner.solve.worker"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(to_line(request) + "\n")
        process.stdin.flush()
        messages = [from_line(process.stdout.readline())]
        while not isinstance(messages[-1], Done):
            messages.append(from_line(process.stdout.readline()))
        process.stdin.close()
    return [one for one in messages if isinstance(one, Better)], messages[-1]


def test_what_was_moved_stays_and_the_rest_follows(session: Session) -> None:
    key = session.gaps[0].after
    moved = moved_to(session, key, 1, plan_of(session).visits_of(key)[0].start + 4)
    assert breaches(moved)
    assert moved.moved == {key}
    found, done = asked(moved)
    assert done.outcome == "plan"
    after = mended(moved, found[-1])
    assert breaches(after) == []
    assert plan_of(after).visits_of(key) == plan_of(moved).visits_of(key)
    assert plan_of(after).aim is plan_of(session).aim
    assert after.by_hand
    assert after.moved == {key}


@pytest.mark.parametrize("moves", [0.0, 7.0])
def test_a_weighed_plan_stays_weighed_whatever_is_done_by_hand(session: Session, moves: float) -> None:
    """Three moved operations at 7 each stay in the sum, which by hand can't be told any better."""
    worths = Worths(day=50.0, moved=moves)
    terms = plan_terms(session.loaded.job, session.loaded.weather, plan_of(session))
    value = terms.weighed(worths, 3)
    weighed = replace(plan_of(session), aim=Aim.COST, value=value, bound=value, worths=worths)
    begun = with_placed(session, weighed)
    assert breaches(begun) == []
    key = session.gaps[0].after
    moved = moved_to(begun, key, 1, weighed.visits_of(key)[0].start + 4)
    assert plan_of(moved).value == value
    assert "value-wrong" not in breaches(moved)
    found, _ = asked(moved)
    after = mended(moved, found[-1])
    assert breaches(after) == []
    assert (plan_of(after).aim, plan_of(after).worths, plan_of(after).value) == (Aim.COST, worths, value)
    assert plan_of(after).bound <= value


def test_a_mended_viaduct_moves_little(viaduct: Session) -> None:
    """One bar of the main job moved late: few others follow, and the audit of the whole is clean."""
    row = next(row for row in viaduct.gaps if row.spare_shut is not None and row.before.startswith("wing_ne/"))
    start = plan_of(viaduct).visits_of(row.after)[0].start
    moved = moved_to(viaduct, row.after, 1, start + 4)
    assert breaches(moved)
    found, _ = asked(moved, seconds=2.0)
    after = mended(moved, found[-1])
    assert breaches(after) == []
    assert list(audit(after.loaded.job, after.loaded.weather, plan_of(after))) == []
    change = compare(plan_of(moved), plan_of(after))
    assert row.after not in {one.operation for one in change.moved}
    assert len(change.moved) < len(viaduct.work.operations) / 4


def test_where_nothing_can_mend_it_the_reasons_name_what_is_held(session: Session) -> None:
    key = session.gaps[0].after
    late = session.facts.horizon - 8
    moved = moved_to(session, key, 1, late)
    found, done = asked(moved)
    assert found == []
    assert done.outcome == "no-plan"
    operation = session.operation(key)
    assert operation is not None
    assert any("pinned" in reason and operation.name in reason for reason in done.reasons)


def test_a_clean_plan_has_nothing_to_mend(session: Session) -> None:
    assert mend_of(session) is None
    assert mend_of(replace(session, plan=None)) is None


def window_with(qtbot: QtBot, settings: Settings, own_file: Path, *answers: str) -> MainWindow:
    command = (sys.executable, "-m", "tests.app.fake_worker", *answers)
    made = MainWindow(settings, command, clock=lambda: datetime(2027, 6, 9, 11, tzinfo=UTC))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=WAIT_MS):
        made.open_job(own_file)
    return made


def break_it(window: MainWindow, qtbot: QtBot) -> None:
    """Nudge an operation until a gap is missed."""
    assert window.board is not None
    assert window.session is not None
    key = window.session.gaps[0].after
    window.board.go_to(key)
    while not breaches(window.session):
        qtbot.keyClick(window.board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: not window.mover.asker.busy, timeout=WAIT_MS)


def test_the_mend_key_asks_the_child_process_and_is_one_step(
    qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path
) -> None:
    window = window_with(qtbot, settings, own_file, "proved", str(plan_file))
    assert not window.findings.mend.isVisible()
    window.actions_by_name["mend"].trigger()
    assert "nothing to mend" in window.statusBar().currentMessage()
    break_it(window, qtbot)
    broken = window.session
    assert window.findings.mend.isVisible()
    assert window.findings.mend.isEnabled()
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        qtbot.mouseClick(window.findings.mend, Qt.MouseButton.LeftButton)
    assert window.session is not None
    assert breaches(window.session) == []
    assert window.statusBar().currentMessage().startswith("Mended: ")
    assert "moved by hand; breaks no rule" in window.header.status.text()
    assert window.mover.stack.undoText() == "mending of the rest"
    window.actions_by_name["undo"].trigger()
    assert window.session is broken


@pytest.fixture
def mended_in_vain(qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path) -> MainWindow:
    """Return a window with a broken plan that nothing was found to mend."""
    window = window_with(qtbot, settings, own_file, "proved", str(plan_file))
    break_it(window, qtbot)
    window.planning.solving._child.command = (sys.executable, "-m", "tests.app.fake_worker", "no-plan")
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.actions_by_name["mend"].trigger()
    return window


def test_the_window_says_why_nothing_mends_it(mended_in_vain: MainWindow) -> None:
    window = mended_in_vain
    assert "Nothing was found that mends the rest" in window.banner.text()
    assert "No closure covers lane 1" in window.banner.text()
    assert window.session is not None
    assert breaches(window.session)


def test_requests_to_mend_come_through_the_pipe_as_they_were() -> None:
    request = SolveRequest(3, "job.toml", aim="change", base={"placements": []}, held=("a/b",), begun=("c/d",))
    assert from_line(to_line(request)) == request
    assert json.loads(to_line(request))["held"] == ["a/b"]


def test_undo_while_it_mends_stops_that_and_takes_the_move_back(
    qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path
) -> None:
    window = window_with(qtbot, settings, own_file, "proved", str(plan_file))
    clean = window.session
    break_it(window, qtbot)
    window.planning.solving._child.command = (sys.executable, "-m", "tests.app.fake_worker", "until-cancelled")
    window.actions_by_name["mend"].trigger()
    assert window.planning.busy
    assert window.actions_by_name["undo"].isEnabled()
    window.actions_by_name["undo"].trigger()
    assert not window.planning.busy
    assert window.statusBar().currentMessage().startswith("Mending stopped. Taken back: move of ")
    while window.mover.stack.canUndo():
        window.actions_by_name["undo"].trigger()
    assert clean is not None
    assert window.session is not None
    assert window.session.plan == clean.plan


def test_undo_while_it_mends_takes_back_first_what_was_shown_already(
    qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path
) -> None:
    window = window_with(qtbot, settings, own_file, "proved", str(plan_file))
    break_it(window, qtbot)
    broken = window.session
    command = (sys.executable, "-m", "tests.app.fake_worker", "until-cancelled", str(plan_file))
    window.planning.solving._child.command = command
    with qtbot.waitSignal(window.planning.planned, timeout=WAIT_MS):
        window.actions_by_name["mend"].trigger()
    window.actions_by_name["undo"].trigger()
    assert window.session is broken
    assert "Taken back: mending of the rest" in window.statusBar().currentMessage()


def test_reasons_why_nothing_mends_go_with_what_they_speak_of(mended_in_vain: MainWindow) -> None:
    window = mended_in_vain
    assert window.banner.isVisible()
    window.actions_by_name["undo"].trigger()
    assert not window.banner.isVisible()
