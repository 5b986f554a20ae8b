"""The table: the board's data line by line, one selection with the board, by keys alone, and safe to copy."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QGuiApplication
from pytestqt.qtbot import QtBot

from app.session import open_session, with_placed
from app.table_view.copying import copied, safe_cell
from app.table_view.lines import HEADS, Line, lines_of
from app.table_view.view import TableView
from app.window import MainWindow
from planner.findings import Finding, Weight
from planner.jobfile.planfile import read_plan

WAIT_MS = 20_000


def table_of(window: MainWindow, qtbot: QtBot) -> TableView:
    view = window.pages["table"]
    assert isinstance(view, TableView)
    window.views.show("table")
    qtbot.waitUntil(lambda: not view.asker.busy and bool(view.model.lines), timeout=WAIT_MS)
    return view


def column(view: TableView, head: str) -> list[str]:
    at = HEADS.index(head)
    return [view.model.index(row, at).data() for row in range(view.model.rowCount())]


def word(line: Line, head: str) -> str:
    return line.words[HEADS.index(head)]


def test_a_line_a_visit_says_what_the_board_draws(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    assert len(view.model.lines) == len(session.plan.placements)
    line = next(line for line in view.model.lines if line.key == "plinth/coat_1")
    tail = next(tail for tail in session.facts.rows[0].children[0].tails if tail.before == line.key)
    time = session.facts.time
    assert tail.opens is not None
    assert word(line, "Element") == "Plinth"
    assert word(line, "Operation") == "First coat"
    assert word(line, "Gang") == "Coating gang"
    assert word(line, "May go on from").endswith(f"{time.local(tail.opens):%H:%M}")
    assert tail.shuts is not None
    assert word(line, "Must have gone on by").endswith(f"{time.local(tail.shuts):%H:%M}")
    assert word(line, "State") == "planned"


def test_without_a_plan_each_operation_has_a_line(own_file: Path) -> None:
    lines = lines_of(open_session(own_file))
    assert [word(line, "State") for line in lines] == ["not planned"] * 3
    assert {word(line, "Start") for line in lines} == {""}


def test_a_missed_gap_and_a_breach_are_said(own_file: Path, plan_file: Path) -> None:
    session = open_session(own_file)
    plan = read_plan(plan_file, session.loaded.job)
    last = plan.placements[-1]
    late = replace(last, start=last.start + 40, finish=last.finish + 40)
    broken = with_placed(session, replace(plan, placements=(*plan.placements[:-1], late)))
    line = lines_of(broken)[-1]
    assert word(line, "Spare").startswith("missed by")
    assert word(line, "Findings").startswith("Breach: ")
    assert line.broken


def test_board_and_table_have_one_selection(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    board = own_window.board
    assert board is not None
    board.go_to("plinth/coat_2")
    assert view.table.currentIndex().siblingAtColumn(1).data() == "Second coat"
    qtbot.keyClick(view.table, Qt.Key.Key_Up)
    assert board.look.selected == "plinth/coat_1"
    qtbot.keyClick(view.table, Qt.Key.Key_Return)
    assert own_window.header.views.current == "board"
    assert own_window.details.title.text() == "First coat"
    board.select(None)
    assert view.table.selectionModel().selectedRows() == []


def test_lines_are_found_ordered_and_reached_by_keys_alone(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    own_window.activateWindow()
    view.find.setFocus()
    qtbot.keyClicks(view.find, "coat SECOND")
    assert column(view, "Operation") == ["Second coat"]
    assert view.count.text() == "1 of 3 lines"
    qtbot.keyClick(view.find, Qt.Key.Key_Down)
    assert own_window.board is not None
    assert own_window.board.look.selected == "plinth/coat_2"
    qtbot.keyClick(view.find, Qt.Key.Key_Escape)
    assert view.model.rowCount() == 3
    assert view.table.currentIndex().siblingAtColumn(1).data() == "Second coat"
    qtbot.keyClicks(view.find, "nothing of the kind")
    assert view.empty.isVisible()
    view.find.clear()
    view.turn.click()
    assert column(view, "Operation") == ["Second coat", "First coat", "Prime"]
    view.order.setCurrentIndex(HEADS.index("Operation"))
    view.order.activated.emit(HEADS.index("Operation"))
    view.turn.click()
    assert column(view, "Operation") == ["First coat", "Prime", "Second coat"]


def test_times_are_put_in_order_as_times(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    for head in ("Start", "Finish", "May go on from", "Spare"):
        view.table.sortByColumn(HEADS.index(head), Qt.SortOrder.AscendingOrder)
        orders = [line.orders[HEADS.index(head)] for line in view.model.shown]
        assert orders == sorted(orders)
        assert view.order.currentText() == head


def test_a_new_plan_keeps_the_selection(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    own_window.select("plinth/coat_2")
    with qtbot.waitSignal(view.asker.answered, timeout=WAIT_MS):
        own_window.mover.nudge("plinth/coat_2", 1, 1)
    assert view.table.currentIndex().siblingAtColumn(1).data() == "Second coat"


def test_copies_are_words_and_never_formulas(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    view.table.selectRow(1)
    qtbot.keyClick(view.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == 2
    assert lines[0].split("\t") == list(HEADS)
    assert lines[1].split("\t")[:2] == ["Plinth", "First coat"]
    assert copied(("A", "B"), [("=1+1", "a\tb\nc")]) == "A\tB\n'=1+1\ta b c\n"


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "  =1", "\t=1", "\uff1d1"])
def test_what_a_spreadsheet_would_calculate_is_marked_as_text(text: str) -> None:
    assert safe_cell(text) == f"'{text.strip()}"
    assert safe_cell("12 m") == "12 m"


def test_a_screen_reader_is_told_heading_and_words(own_window: MainWindow, qtbot: QtBot) -> None:
    view = table_of(own_window, qtbot)
    cell = view.model.index(0, 1)
    assert cell.data(Qt.ItemDataRole.AccessibleTextRole) == "Operation: Prime"
    for widget in (view.table, view.find, view.order):
        interface = QAccessible.queryAccessibleInterface(widget)
        assert interface.text(QAccessible.Text.Name)


def test_names_from_the_file_are_no_markup(own_file: Path) -> None:
    session = open_session(own_file)
    told = Finding("x", "plinth/prime", "", "<b>bold</b>", weight=Weight.ADVICE)
    line = lines_of(replace(session, findings=(told,)))[0]
    assert "<" in word(line, "Findings")


def test_scrolling_under_the_pointer_stays_in_the_table(own_window: MainWindow, qtbot: QtBot) -> None:
    """Qt tells of lines that come under the pointer by a signal of its own; the board is asked for by Enter only."""
    view = own_window.pages["table"]
    assert isinstance(view, TableView)
    own_window.views.show("table")
    qtbot.waitUntil(lambda: view.model.rowCount() > 0, timeout=20_000)
    view.table.entered.emit(view.model.index(1, 0))
    assert own_window.views.current == "table"
    view.table.line_wanted.emit(view.model.index(1, 0))
    assert own_window.views.current == "board"
