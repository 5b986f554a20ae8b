"""Rows of the closures table: lengths to the minute, and a least length that is no more sure than its proof."""

from __future__ import annotations

from PySide6.QtCore import Qt

from app.closures.rows import ClosureRow, closure_rows, default_offer, no_plan_sections
from app.closures.step_words import offer_words
from app.closures.table_model import COLUMNS, LEAST, ClosureTable
from app.closures.view import ClosuresView
from app.theme import LIGHT
from planner.closures.results import Study
from tests.app.closures.conftest import Make


def rows_of(make_window: Make, study: Study | None) -> dict[str, ClosureRow]:
    session = make_window().session
    assert session is not None
    return {row.id: row for row in closure_rows(session, study, default_offer(session.loaded.job))}


def test_the_time_for_work_is_told_to_the_minute(make_window: Make) -> None:
    """Friday 20:45 to Monday 04:30, cones out and in taken off: 55 h 45 min."""
    row = rows_of(make_window, None)["weekend_nb_1"]
    assert (row.work_from[-5:], row.work_until[-5:]) == ("20:45", "04:30")
    assert row.hours == "2 d 7 h 45 min"


def test_a_least_length_that_is_not_proved_is_one_at_most(make_window: Make, main_study: Study) -> None:
    rows = rows_of(make_window, main_study)
    for worth in main_study.worths:
        assert worth.least is not None
        is_proved = worth.least.start_proved and worth.least.finish_proved
        assert rows[worth.closure.id].least.startswith("at most ") is not is_proved
    assert {one.least.finish_proved for one in main_study.worths if one.least} == {True, False}


def test_closures_on_offer_are_told_apart_by_their_day(main_study: Study) -> None:
    words = offer_words(main_study.job, frozenset({"night_nb_1", "weekend_sb_1"}))
    assert "They will only give us 2 of 14 closures: Northbound lane 1, night (Tue 23 Mar), Southbound" in words


def test_a_least_length_is_said_to_be_of_the_plan_looked_into(make_window: Make, main_study: Study) -> None:
    """The board may show another plan beside it."""
    rows = tuple(rows_of(make_window, main_study).values())
    model = ClosureTable()
    model.show_rows(rows, LIGHT, False)
    column = next(number for number, one in enumerate(COLUMNS) if one.heading == LEAST)
    assert "looked into" in model.headerData(column, Qt.Orientation.Horizontal)
    place = next(number for number, row in enumerate(rows) if row.least)
    tip = model.index(place, column).data(Qt.ItemDataRole.ToolTipRole)
    assert rows[place].least in tip
    assert "of the plan looked into" in tip


def test_where_no_plan_exists_the_reasons_stand_beside_the_closures(make_window: Make, main_study: Study) -> None:
    none = Study(main_study.job, reasons=("the longest has 8.75 h",), proved_none=True, missing=("weekend_nb_2",))
    why, more = no_plan_sections(none)
    assert (why.title, why.lines) == ("Why no plan exists", ("the longest has 8.75 h",))
    assert more.lines[0].startswith("weekend_nb_2: ")
    assert no_plan_sections(main_study) == no_plan_sections(None) == ()
    view = make_window().pages["closures"]
    assert isinstance(view, ClosuresView)
    view.question.study = none
    view._say()
    assert "the longest has 8.75 h" in view.side.words.toPlainText()
