"""The planner's day in the window: study, choose a step, take its plan, ask again, and send the request list."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.closures.studying import WORKER, digest_of
from app.closures.table_model import OFFER, STATE
from app.window import MainWindow
from planner.closures.results import Study
from planner.jobfile.load import LoadedJob, with_job_text
from planner.model import ClosureState
from tests.app.closures.conftest import WAIT_MS, Make, view_of

CHECK = Qt.ItemDataRole.CheckStateRole


@pytest.fixture
def window(make_window: Make) -> MainWindow:
    return make_window()


def studied(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    with qtbot.waitSignal(view.question.ended, timeout=WAIT_MS):
        qtbot.mouseClick(view.bar.study, Qt.MouseButton.LeftButton)


def state_of(window: MainWindow, id: str) -> ClosureState:
    assert window.session is not None
    return window.session.loaded.job.closure(id).state


def test_a_study_is_shown_in_stairs_table_and_words(window: MainWindow, qtbot: QtBot, main_study: Study) -> None:
    view = view_of(window)
    assert "Not studied yet" in view.bar.status.text()
    studied(window, qtbot)
    assert view.question.study == main_study
    assert len(view.stairs.steps) == len(main_study.by_number.steps) + len(main_study.by_money.steps)
    assert "Looked into" in view.bar.status.text()
    worth = main_study.worths[0]
    view.table.go_to(worth.closure.id)
    words = view.side.words.toPlainText()
    assert "Least length that still works" in words
    assert "easter_nb" in words
    assert view.side.work.count() == len(view.row.inside)  # type: ignore[union-attr]
    view.table.go_to(main_study.worths[1].closure.id)
    assert "no plan exists" in view.side.words.toPlainText()


def test_a_step_chosen_by_keys_is_taken_with_enter_and_undone(
    window: MainWindow, qtbot: QtBot, main_study: Study
) -> None:
    view = view_of(window)
    studied(window, qtbot)
    assert window.session is not None
    standing = window.session.plan
    view.stairs.setFocus()
    qtbot.keyClick(view.stairs, Qt.Key.Key_Right)
    assert view.stairs.selected is not None
    assert "Take this plan" in view.side.words.toPlainText()
    step = main_study.by_number.steps[0]
    assert view.stairs.selected.step.closures == step.closures
    with qtbot.waitSignal(view.step_wanted, timeout=WAIT_MS):
        qtbot.keyClick(view.stairs, Qt.Key.Key_Return)
    assert window.session.plan is not None
    assert window.session.plan.placements == step.plan.placements
    assert "plan with" in window.mover.stack.undoText()
    window.mover.stack.undo()
    assert window.session.plan == standing


def test_a_step_is_looked_at_on_the_board_and_not_taken(window: MainWindow, qtbot: QtBot, main_study: Study) -> None:
    view = view_of(window)
    studied(window, qtbot)
    before, board = window.session, window.board
    assert board is not None
    assert before is not None
    assert before.plan is not None
    view.stairs.setFocus()
    qtbot.keyClick(view.stairs, Qt.Key.Key_Right)
    with qtbot.waitSignal(view.look_wanted, timeout=WAIT_MS):
        qtbot.mouseClick(view.bar.show_it, Qt.MouseButton.LeftButton)
    assert window.session is before
    assert window.looking.shown is not None
    assert window.looking.shown.plan is not None
    assert window.looking.shown.plan.placements == main_study.by_number.steps[0].plan.placements
    assert board.whole is window.looking.shown.facts
    assert window.looking.strip is not None
    qtbot.mouseClick(window.looking.strip.buttons[1], Qt.MouseButton.LeftButton)
    assert board.whole is before.facts
    for part in (board, window.details.words):
        window.views.show("closures")
        with qtbot.waitSignal(view.look_wanted, timeout=WAIT_MS):
            qtbot.mouseClick(view.bar.show_it, Qt.MouseButton.LeftButton)
        board.select(before.plan.placements[0].operation)
        qtbot.keyClick(part, Qt.Key.Key_Escape)
        assert window.looking.shown is None
        assert window.looking.strip is None
        assert board.whole is before.facts
        assert board.look.selected is not None
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert board.look.selected is None
    window.views.show("closures")
    with qtbot.waitSignal(view.look_wanted, timeout=WAIT_MS):
        qtbot.mouseClick(view.bar.show_it, Qt.MouseButton.LeftButton)
    window.views.show("closures")
    assert window.looking.strip is None
    assert not window.header.status.text().startswith("Looking at")
    assert window.session is before
    assert not window.mover.stack.canUndo()


def test_a_state_changed_by_key_is_a_step_of_undo_and_makes_the_study_stale(
    window: MainWindow, qtbot: QtBot, main_study: Study
) -> None:
    view = view_of(window)
    studied(window, qtbot)
    id = main_study.worths[0].closure.id
    before = state_of(window, id)
    view.table.go_to(id)
    qtbot.keyClick(view.table, Qt.Key.Key_R)
    qtbot.waitUntil(lambda: state_of(window, id) is ClosureState.REFUSED, timeout=WAIT_MS)
    assert view.bar.status.text().startswith("From before the last change; study again.")
    assert id not in view.question.offered
    assert window.isWindowModified()
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert state_of(window, id) is before
    assert window.statusBar().currentMessage().startswith("Taken back: ")
    assert id in view.question.offered
    assert not view.question.is_stale


def test_several_states_are_changed_at_once_and_one_from_the_list(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    view.table.selectAll()
    qtbot.keyClick(view.table, Qt.Key.Key_A)
    qtbot.waitUntil(lambda: all(row.state is ClosureState.AGREED for row in view.model.rows), timeout=WAIT_MS)
    id = view.model.rows[2].id
    view.model.setData(view.model.index(2, STATE), "wanted")
    qtbot.waitUntil(lambda: state_of(window, id) is ClosureState.WANTED, timeout=WAIT_MS)
    window.mover.stack.undo()
    assert state_of(window, id) is ClosureState.AGREED


def test_what_is_on_offer_changes_no_state_and_an_old_answer_comes_back(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    studied(window, qtbot)
    id = view.model.rows[0].id
    before = state_of(window, id)
    view.table.go_to(id)
    qtbot.keyClick(view.table, Qt.Key.Key_Space)
    assert view.model.index(0, OFFER).data(CHECK) == Qt.CheckState.Unchecked
    assert "They will only give us" in view.bar.offer.text()
    assert state_of(window, id) is before
    assert view.question.is_stale
    assert view.question.only == frozenset(row.id for row in view.model.rows if row.offered)
    qtbot.keyClick(view.table, Qt.Key.Key_Space)
    assert not view.question.is_stale
    assert view.question.only is None


def test_stopped_it_keeps_what_was_seen(make_window: Make, qtbot: QtBot, main_study: Study) -> None:
    window = make_window("until-halted")
    view = view_of(window)
    with qtbot.waitSignal(view.question.changed, timeout=WAIT_MS):
        view.start()
    assert view.bar.stop.isEnabled()
    with qtbot.waitSignal(view.question.ended, timeout=WAIT_MS):
        qtbot.mouseClick(view.bar.stop, Qt.MouseButton.LeftButton)
    assert view.question.study is not None
    assert view.question.study.by_number == main_study.by_number
    assert "topped" in view.bar.status.text()
    assert not view.bar.stop.isEnabled()


def test_a_process_that_falls_over_is_told_and_changes_nothing(make_window: Make, qtbot: QtBot) -> None:
    window = make_window("crash")
    view = view_of(window)
    with qtbot.waitSignal(view.question.ended, timeout=WAIT_MS):
        view.start()
    assert "ended without an answer" in view.bar.status.text()
    assert view.question.study is None
    assert view.bar.study.isEnabled()


def test_the_window_shuts_while_a_study_goes_on(make_window: Make, qtbot: QtBot) -> None:
    window = make_window("until-halted")
    with qtbot.waitSignal(view_of(window).question.changed, timeout=WAIT_MS):
        view_of(window).start()
    window.close()
    assert not view_of(window).question.studying.busy


def test_the_request_list_is_sent_in_every_form(
    window: MainWindow, qtbot: QtBot, main_study: Study, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = view_of(window)
    studied(window, qtbot)
    for kind, button in zip(("xlsx", "pdf", "ics"), view.bar.sends, strict=False):
        path = tmp_path / f"list.{kind}"
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, path=path: (str(path), ""))
        with qtbot.waitSignal(view.sending.asker.answered, timeout=WAIT_MS):
            qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
        assert path.stat().st_size > 500
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(tmp_path / "list.pdf").pages).split())
    assert main_study.worths[0].closure.id in text
    with qtbot.waitSignal(view.sending.asker.answered, timeout=WAIT_MS):
        qtbot.keyClick(view.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == 1 + len(main_study.worths)
    assert len({line.count("\t") for line in lines}) == 1
    assert sorted(one.name for one in tmp_path.glob("list*")) == ["list.ics", "list.pdf", "list.xlsx"]


def test_our_own_figures_go_into_a_second_file_and_only_where_it_is_ticked(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = view_of(window)
    studied(window, qtbot)
    assert not view.bar.ours.isChecked()
    qtbot.keyClick(view.bar.ours, Qt.Key.Key_Space)
    path = tmp_path / "list.xlsx"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    with qtbot.waitSignal(view.told, timeout=WAIT_MS) as told:
        qtbot.mouseClick(view.bar.xlsx, Qt.MouseButton.LeftButton)
    assert (tmp_path / "list_for_ourselves.xlsx").stat().st_size > 500
    assert told.args == [f"Saved {path}; for ourselves, not to be handed over: list_for_ourselves.xlsx"]
    with qtbot.waitSignal(view.sending.asker.answered, timeout=WAIT_MS):
        view.copy()
    assert QGuiApplication.clipboard().text().startswith("For ourselves, not to be handed over\n")


def test_without_a_study_the_list_says_what_the_plan_on_the_board_does(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    with qtbot.waitSignal(view.sending.asker.answered, timeout=WAIT_MS):
        view.copy()
    text = QGuiApplication.clipboard().text()
    assert "Needed for" in text
    assert "not looked into" not in text
    view.bar.ours.setChecked(True)
    with qtbot.waitSignal(view.sending.asker.answered, timeout=WAIT_MS):
        view.copy()
    assert "not looked into" in QGuiApplication.clipboard().text()


def test_the_plan_on_the_board_can_be_looked_into(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    assert view.bar.look.isEnabled()
    assert "board" in view.bar.look.text()
    with qtbot.waitSignal(view.question.ended, timeout=WAIT_MS):
        qtbot.mouseClick(view.bar.look, Qt.MouseButton.LeftButton)
    assert view.question.study is not None


def test_programmes_handed_out_do_not_make_a_study_old_but_work_does(main_loaded: LoadedJob) -> None:
    text = main_loaded.text
    assert digest_of(main_loaded) == digest_of(with_job_text(main_loaded, f"# a remark\n{text}"))
    assert digest_of(main_loaded) != digest_of(with_job_text(main_loaded, text.replace("cost = 1950", "cost = 1951")))


def test_closures_outside_the_days_or_all_cones_or_refused_say_so(make_window: Make) -> None:
    def changed(text: str) -> str:
        text = text.replace("start = 2027-03-23T20:00:00", "start = 2027-01-23T20:00:00", 1)
        text = text.replace("finish = 2027-03-24T06:00:00", "finish = 2027-01-24T06:00:00", 1)
        return re.sub(r'state = "(wanted|requested|agreed)"', 'state = "refused"', text)

    window = make_window(change=changed)
    view = view_of(window)
    assert view.model.rows[0].hours.startswith("none")
    assert view.model.rows[0].work_from == ""
    assert not any(row.offered for row in view.model.rows)
    assert view.bar.offer.text().startswith("0 of 14 closures on offer")
    view.table.go_to(view.model.rows[0].id)
    assert "Time for work: none" in view.side.words.toPlainText()


def test_two_closures_of_one_night_stand_beside_each_other(make_window: Make) -> None:
    twin = """
[[closures]]
id = "twin"
name = "Southbound lane 1, night"
lanes = ["sb1"]
start = 2027-03-23T20:00:00
finish = 2027-03-24T06:00:00
state = "wanted"

[[structures]]"""
    view = view_of(make_window(change=lambda text: text.replace("[[structures]]", twin.strip(), 1)))
    assert [row.id for row in view.model.rows[:2]] == ["night_nb_1", "twin"]
    assert view.model.rows[0].on == view.model.rows[1].on


def test_a_job_without_closures_teaches(own_window: MainWindow) -> None:
    view = view_of(own_window)
    own_window.actions_by_name["closures"].trigger()
    assert "no closures" in view.side.words.toPlainText()
    assert not view.bar.study.isEnabled()
    assert not view.stairs.isVisible()


def test_hostile_names_are_shown_as_text(make_window: Make) -> None:
    evil = "<img src=http://x/>=cmd()"

    def renamed(text: str) -> str:
        text = re.sub(r'name = "Northbound, weekend"', f'name = "{evil}"', text)
        return re.sub(r'name = "Northbound lane 1"', f'name = "{evil}"', text)

    window = make_window(change=renamed)
    view = view_of(window)
    row = next(row for row in view.model.rows if row.name == evil)
    view.table.go_to(row.id)
    assert view.side.title.text() == evil
    assert "<img" in view.side.words.toPlainText()
    tips = [
        view.model.data(view.model.index(row, column), Qt.ItemDataRole.ToolTipRole)
        for row in range(view.model.rowCount())
        for column in range(view.model.columnCount())
    ]
    assert any(tip and "&lt;img" in tip for tip in tips)
    assert not any(tip and "<img" in tip for tip in tips)
    assert not any(one.isImageFormat() for one in view.side.words.document().allFormats())
    assert not window.grab().isNull()


def test_the_real_process_shows_steps_of_the_main_job(make_window: Make, qtbot: QtBot) -> None:
    """Whatever it comes to in five seconds: a step, or nothing yet on a slow machine, but always an end."""
    window = make_window()
    view = view_of(window)
    view.question.studying.child.command = WORKER
    view.bar.seconds.setValue(3600)
    view.start()
    qtbot.waitUntil(lambda: bool(view.stairs.steps), timeout=60_000)
    with qtbot.waitSignal(view.question.ended, timeout=WAIT_MS):
        view.bar.stop.click()
    step = view.stairs.steps[-1].step
    assert step.plan.closures_used
    with qtbot.waitSignal(view.step_wanted, timeout=WAIT_MS):
        view.take(view.stairs.steps[-1])
    assert window.session is not None
    assert window.session.plan is not None
    assert window.session.plan.placements == step.plan.placements
