"""What a study asks of its process: with a site record, and with few closures on offer; and what is said of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.closures.rows import closure_rows, closure_sections, default_offer
from app.closures.step_words import status_words
from planner.closures.messages import StudyRequest, from_line
from planner.closures.results import FromRecord, Study
from tests.app.closures.conftest import Make, view_of

ENTRY = """
[[record]]
operation = "wing_ne/jet_wash"
started = 2027-03-22T07:05:00
finished = 2027-03-22T08:20:00
noted_at = 2027-03-22T08:30:00
"""


def test_the_plan_before_the_record_goes_to_the_process(
    make_window: Make, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = make_window(change=lambda text: text + ENTRY)
    view, sent = view_of(window), list[str]()
    monkeypatch.setattr(view.question.studying.child, "start", lambda line, *_: sent.append(line))
    qtbot.mouseClick(view.bar.study, Qt.MouseButton.LeftButton)
    request = from_line(sent[0])
    assert isinstance(request, StudyRequest)
    assert window.session is not None
    assert window.session.planned is not None
    assert request.planned is not None
    assert len(request.planned["placements"]) == len(window.session.planned.placements)


def test_what_is_done_and_which_closures_are_past_is_said(make_window: Make, main_study: Study) -> None:
    window = make_window()
    assert window.session is not None
    found = replace(main_study, record=FromRecord(3, 1, 300, ("night_nb_1",)))
    assert "From the record: 3 works done, 1 under way, up to" in status_words(found, "", stale=False)
    rows = closure_rows(window.session, found, default_offer(found.job))
    row = next(one for one in rows if one.id == "night_nb_1")
    words = " ".join(line for part in closure_sections(window.session, found, row) for line in part.lines)
    assert "not in question" in words


def test_four_nights_and_one_weekend_is_asked_in_seven_steps(
    make_window: Make, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None on offer, five ticks, study: what goes to the process is those five, and no state changes."""
    window = make_window()
    view, sent = view_of(window), list[str]()
    assert window.session is not None
    before = window.session.loaded.text
    monkeypatch.setattr(view.question.studying.child, "start", lambda line, *_: sent.append(line))
    assert "None" in view.bar.all.text()
    qtbot.mouseClick(view.bar.all, Qt.MouseButton.LeftButton)
    assert view.question.offered == frozenset()
    assert view.bar.all.text() == "&All on offer"
    given = ("night_nb_1", "night_sb_1", "night_nb_2", "night_sb_2", "weekend_nb_2")
    for id in given:
        view.table.go_to(id)
        qtbot.keyClick(view.table, Qt.Key.Key_Space)
    assert view.bar.offer.text().startswith("They will only give us 5 of 14 closures: ")
    qtbot.mouseClick(view.bar.study, Qt.MouseButton.LeftButton)
    request = from_line(sent[0])
    assert isinstance(request, StudyRequest)
    assert request.only == sorted(given)
    assert window.session.loaded.text == before
    qtbot.mouseClick(view.bar.all, Qt.MouseButton.LeftButton)
    assert view.question.offers_all
