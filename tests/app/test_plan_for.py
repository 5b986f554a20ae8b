"""What to plan for, chosen in the header: single aims, aims in order, least change from an issue or the board."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialogButtonBox
from pytestqt.qtbot import QtBot

from app.aims_dialog import AimsDialog
from app.plan_for import PlanFor, in_order, plan_for_from, plan_for_text
from app.session import Session
from app.settings import Settings
from app.status_words import plan_words, standing_words
from app.text_size import TextSize
from app.window import MainWindow
from planner.jobfile.planfile import plan_to_dict
from planner.model import Aim, Plan, Worths
from tests.app.test_issuing import issue, move_last

WAIT_MS = 20_000
WEIGHED = PlanFor((Aim.COST,), worths=Worths(day=1.5, crew_day=2.0))
_DAMAGED = (
    '{"aims": ["finish"], "from_issue": false, "worths": {"day": 5}}',
    '{"aims": ["cost"], "from_issue": false, "worths": {"day": -5}}',
    '{"aims": ["cost"], "from_issue": false, "worths": {"night": 5}}',
    '{"aims": ["cost"], "from_issue": false, "worths": 5}',
)
IN_ORDER = PlanFor((Aim.FINISH, Aim.COST))


@pytest.fixture
def asked(own_window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """Return what the solving process is asked for, once somebody plans."""
    heard: dict[str, Any] = {}
    monkeypatch.setattr(own_window.planning.solving, "start", lambda job, **more: heard.update(job=job, **more))
    return heard


def form(window: MainWindow) -> AimsDialog:
    window.actions_by_name["aims"].trigger()
    dialog = window.aims.dialog
    assert dialog is not None
    return dialog


def choose(dialog: AimsDialog, *aims: Aim) -> None:
    for place, aim in zip(dialog.places, aims, strict=False):
        place.setCurrentIndex(place.findData(aim.value))


def accept(dialog: AimsDialog) -> None:
    dialog.buttons.button(QDialogButtonBox.StandardButton.Ok).click()


def test_a_single_aim_is_picked_in_the_header(own_window: MainWindow, asked: dict[str, Any]) -> None:
    header = own_window.header
    listed = [header.aims.list.itemText(row) for row in range(header.aims.list.count())]
    assert listed == ["earliest finish", "fewest closures", "least cost", "least change"]
    header.aims.list.setCurrentIndex(2)
    assert header.wanted == PlanFor((Aim.COST,))
    own_window.plan()
    assert (asked["aim"], asked["then"], asked["base"]) == ("cost", (), None)


def test_aims_in_order_are_put_together_by_keys(own_window: MainWindow, asked: dict[str, Any], qtbot: QtBot) -> None:
    dialog = form(own_window)
    assert dialog.wanted == PlanFor()
    dialog.places[0].setFocus()
    qtbot.keyClick(dialog.places[0], Qt.Key.Key_Down)
    assert dialog.wanted.aims == (Aim.CLOSURES,)
    qtbot.keyClick(dialog.places[1], Qt.Key.Key_Down)
    assert dialog.wanted.aims == (Aim.CLOSURES, Aim.FINISH)
    qtbot.keyClick(dialog.places[1], Qt.Key.Key_Down)
    assert dialog.wanted.aims == (Aim.CLOSURES, Aim.COST), "what comes first already is passed over"
    assert dialog.said.text() == "Plan for fewest closures, then least cost."
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    header = own_window.header
    assert header.aims.list.currentText() == "closures, then cost"
    assert "fewest closures, then least cost" in header.aims.list.toolTip()
    assert header.aims.list.accessibleDescription() == "fewest closures, then least cost"
    own_window.plan()
    assert (asked["aim"], asked["then"]) == ("closures", ("cost",))


def test_an_aim_taken_first_gives_up_its_place_after(own_window: MainWindow) -> None:
    dialog = form(own_window)
    choose(dialog, Aim.FINISH, Aim.COST, Aim.CLOSURES)
    choose(dialog, Aim.COST)
    assert dialog.wanted.aims == (Aim.COST,)
    assert [place.isEnabled() for place in dialog.places] == [True, True, False, False]
    dialog.reject()
    assert own_window.header.wanted == PlanFor()


def test_least_change_counts_from_the_board_or_from_the_last_issue(
    own_window: MainWindow, asked: dict[str, Any], qtbot: QtBot
) -> None:
    dialog = form(own_window)
    choose(dialog, Aim.FINISH, Aim.CHANGE)
    assert not dialog.base.isEnabled(), "nothing was issued yet"
    dialog.reject()
    issue(own_window, qtbot)
    session = own_window.session
    assert session is not None
    issued = session.issued[0].plan
    move_last(own_window, qtbot, 1)
    dialog = form(own_window)
    assert not dialog.base.isEnabled(), "not while no change is asked for"
    choose(dialog, Aim.CHANGE, Aim.FINISH)
    assert dialog.base.isEnabled()
    assert dialog.base.itemText(1) == "Issue 1 of Wed 9 Jun"
    accept(dialog)
    own_window.plan()
    moved = own_window.session
    assert moved is not None
    assert moved.plan is not None
    assert issued is not None
    assert asked["base"]["placements"] != _rows(issued, moved)
    assert asked["base"]["placements"] == _rows(moved.plan, moved)
    dialog = form(own_window)
    dialog.base.setCurrentIndex(1)
    assert dialog.wanted.words == "least change from the last issue, then earliest finish"
    accept(dialog)
    own_window.plan()
    assert (asked["aim"], asked["then"]) == ("change", ("finish",))
    assert asked["base"]["placements"] == _rows(issued, moved)


def _rows(plan: Plan, session: Session) -> Any:
    return plan_to_dict(plan, session.loaded.job)["placements"]


def test_money_is_put_on_what_least_cost_weighs(own_window: MainWindow, asked: dict[str, Any]) -> None:
    dialog = form(own_window)
    assert not any(amount.isEnabled() for amount in dialog.worths.values()), "not while cost is no aim"
    choose(dialog, Aim.FINISH, Aim.COST)
    assert all(amount.text() == "nothing" for amount in dialog.worths.values())
    dialog.worths["day"].setValue(1450)
    dialog.worths["closure"].setValue(500.5)
    assert dialog.said.text() == "Plan for earliest finish, then least cost, weighed (a day 1,450, a closure 500.50)."
    assert not dialog.wanted.changes
    dialog.worths["moved"].setValue(20)
    assert dialog.wanted.changes
    accept(dialog)
    assert own_window.header.aims.list.currentText() == "finish, then weighed cost"
    own_window.plan()
    assert (asked["aim"], asked["then"]) == ("finish", ("cost",))
    assert asked["worths"] == {"day": 1450.0, "closure": 500.5, "crew_day": 0.0, "moved": 20.0}
    assert asked["base"] is not None
    dialog = form(own_window)
    assert dialog.worths["closure"].value() == 500.5
    choose(dialog, Aim.CLOSURES)
    dialog.places[1].setCurrentIndex(0)
    assert dialog.wanted == PlanFor((Aim.CLOSURES,)), "what is put on things counts only in the cost"
    dialog.reject()


@pytest.mark.parametrize("size", list(TextSize))
def test_nothing_in_the_form_is_pressed_together(own_window: MainWindow, size: TextSize) -> None:
    own_window.looks.set_text_size(size.value)
    dialog = form(own_window)
    fields = (*dialog.places, *dialog.worths.values(), dialog.base, dialog.said, dialog.buttons)
    for above, below in pairwise(fields):
        assert above.geometry().bottom() < below.geometry().top()
        assert above.height() >= above.minimumSizeHint().height()
    assert all(field.accessibleName() for field in fields[:-2])
    dialog.reject()


def test_without_a_plan_there_is_nothing_to_change(own_window: MainWindow, asked: dict[str, Any]) -> None:
    assert own_window.session is not None
    own_window.session = replace(own_window.session, plan=None)
    own_window.header.wanted = PlanFor((Aim.CHANGE, Aim.COST), worths=Worths(day=3.0, moved=5.0))
    own_window.plan()
    assert (asked["aim"], asked["then"], asked["base"]) == ("cost", (), None)
    assert (asked["worths"]["day"], asked["worths"]["moved"]) == (3.0, 0.0)


def test_each_job_comes_back_with_what_it_was_planned_for(
    own_window: MainWindow, settings: Settings, own_file: Path, job_file: Path, plan_file: Path, qtbot: QtBot
) -> None:
    own_window.header.wanted = IN_ORDER
    own_window.close()
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    again = MainWindow(settings, command, clock=lambda: datetime(2027, 6, 9, 11, tzinfo=UTC))
    qtbot.addWidget(again)
    for path, wanted in ((own_file, IN_ORDER), (job_file, PlanFor())):
        with qtbot.waitSignal(again.planning.ended, timeout=WAIT_MS):
            again.open_job(path)
        assert again.header.wanted == wanted
    again.close()


def test_a_plan_made_for_its_cost_says_what_it_costs(own_window: MainWindow) -> None:
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    money = session.loaded.job.job.currency
    assert money not in plan_words(session)
    cheap = replace(session, plan=replace(session.plan, aim=Aim.COST, value=1700.0))
    assert f"  ·  1,700.00 {money}  ·  " in plan_words(cheap)
    weighed = replace(session, plan=replace(session.plan, aim=Aim.COST, value=1710.0, worths=Worths(day=5.0)))
    assert f"  ·  1,710.00 {money}, weighed  ·  " in plan_words(weighed)


def test_the_header_says_what_was_proved_and_what_came_after(own_window: MainWindow) -> None:
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    assert standing_words(session) == "earliest finish proved"
    weighed = replace(session, plan=replace(session.plan, aim=Aim.COST, worths=Worths(day=5.0)))
    assert standing_words(weighed) == "least cost, weighed, proved"
    further = replace(session, plan=replace(session.plan, then=(Aim.COST,)))
    assert standing_words(further) == "earliest finish proved; then least cost, as found"


@pytest.mark.parametrize(
    "one", [PlanFor(), IN_ORDER, PlanFor((Aim.CHANGE, Aim.CLOSURES, Aim.COST, Aim.FINISH), from_issue=True), WEIGHED]
)
def test_it_comes_back_from_text_as_it_was(one: PlanFor) -> None:
    assert plan_for_from(plan_for_text(one)) == one


@pytest.mark.parametrize(
    "text",
    ["", "[]", "{", "{}", '{"aims": [], "from_issue": false}', '{"aims": ["speed"], "from_issue": false}', *_DAMAGED],
)
def test_text_that_makes_no_sense_is_nothing(text: str) -> None:
    assert plan_for_from(text) is None


def test_aims_in_order_have_no_gaps_and_no_doubles() -> None:
    assert in_order([None, Aim.COST, None, Aim.COST, Aim.FINISH]) == (Aim.COST, Aim.FINISH)
    assert in_order([None, None]) == (Aim.FINISH,)
