"""A day of very many visits: its lines are made a few at a time, and none is lost."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pytestqt.qtbot import QtBot

from app.site_record.page import VisitKey, WorkRow
from app.site_record.work_list import WorkList
from planner.site_record.progress import State
from planner.site_record.revise import Said

MANY = 40


def rows_of(day: str, count: int) -> list[WorkRow]:
    return [row_of((f"{day}{number}/prime", 1), f"Prime {number}") for number in range(count)]


def row_of(key: VisitKey, name: str) -> WorkRow:
    return WorkRow(
        key=key,
        planned=480,
        when="08:00-10:00",
        name=name,
        where="Deck",
        state=State.NOT_BEGUN,
        is_presumed=False,
        is_overdue=False,
        hold=False,
        reopening_hold=False,
        real="",
        gap="",
        missed=False,
        said=Said(),
        count=1,
    )


@pytest.fixture
def work(qtbot: QtBot) -> WorkList:
    made = WorkList()
    qtbot.addWidget(made)
    return made


def names(work: WorkList) -> list[str]:
    return [line.name.text() for line in work.lines]


def test_a_long_day_is_made_in_slices(qtbot: QtBot, work: WorkList) -> None:
    rows = rows_of("a", MANY)
    work.show_rows(rows, True, rows[0].key)
    assert 0 < len(work.lines) < MANY / 2
    qtbot.waitUntil(lambda: len(work.lines) == MANY)
    assert names(work) == [row.name for row in rows]


def test_lines_made_later_show_what_was_said_meanwhile(qtbot: QtBot, work: WorkList) -> None:
    rows = rows_of("a", MANY)
    work.show_rows(rows, False, rows[0].key)
    made = work.lines[0]
    rows[-1] = replace(rows[-1], name="Prime again")
    work.show_rows(rows, True, rows[-1].key)
    qtbot.waitUntil(lambda: len(work.lines) == MANY)
    assert work.lines[0] is made
    assert work.lines[-1].name.text() == "Prime again"
    assert work.lines[-1].objectName() == "workChosen"
    assert all(line.start.isEnabled() for line in work.lines)


def test_another_day_takes_the_place_of_one_half_made(qtbot: QtBot, work: WorkList) -> None:
    work.show_rows(rows_of("a", MANY), True, None)
    other = rows_of("b", 20)
    work.show_rows(other, True, None)
    qtbot.waitUntil(lambda: len(work.lines) == len(other))
    assert [line.row.key for line in work.lines] == [row.key for row in other]
    work.show_rows((), True, None)
    assert work.lines == []


def test_no_more_lines_are_made_once_the_window_shuts(qtbot: QtBot, work: WorkList) -> None:
    work.show_rows(rows_of("a", MANY), True, None)
    made = len(work.lines)
    work.close_all()
    qtbot.wait(20)
    assert len(work.lines) == made
