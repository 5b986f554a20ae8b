"""Another gang or way, visits split and joined: the plan, what the audit says, and one step of undo each."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.by_hand.edits import by_hand, done_as, joined, made_by, operation_as, split
from app.by_hand.offers import USUAL, effect, offers
from app.by_hand.offers_dialog import OffersDialog
from app.session import Session
from app.window import MainWindow
from planner.findings import Weight
from planner.model import Placement, Plan, PlanStatus

WAIT_MS = 20_000
HEADERS = "joint_nb/headers"


def plan_of(session: Session) -> Plan:
    assert session.plan is not None
    return session.plan


def spans(visits: tuple[Placement, ...]) -> list[tuple[int, int, int]]:
    return [(one.visit, one.start, one.finish) for one in visits]


def breaches(session: Session) -> list[str]:
    return [one.code for one in session.findings if one.weight is Weight.BREACH]


def test_every_visit_split_keeps_its_work_and_joins_again(viaduct: Session) -> None:
    whole = plan_of(viaduct)
    for placed in whole.placements:
        if placed.finish - placed.start < 2:
            continue
        cut = split(viaduct, placed.operation, placed.visit)
        visits = cut.visits_of(placed.operation)
        before = whole.visits_of(placed.operation)
        assert len(visits) == len(before) + 1
        assert [one.visit for one in visits] == list(range(1, len(visits) + 1))
        assert sum(b - a for _, a, b in spans(visits)) == sum(b - a for _, a, b in spans(before))
        again = joined(replace(viaduct, plan=cut), placed.operation, placed.visit)
        assert spans(again.visits_of(placed.operation)) == spans(before)
        assert set(again.placements) == set(whole.placements)
        assert cut.status is PlanStatus.FEASIBLE


def test_work_that_is_done_in_one_visit_says_so_when_split(viaduct: Session) -> None:
    fixed = next(one for one in viaduct.work.operations if not one.splittable and one.length > 1)
    assert "visits-not-allowed" in breaches(by_hand(viaduct, split(viaduct, fixed.key, 1)))
    free = next(
        one
        for one in viaduct.work.operations
        if one.splittable and one.length >= 2 * one.min_visit and len(plan_of(viaduct).visits_of(one.key)) == 1
    )
    assert "visits-not-allowed" not in breaches(by_hand(viaduct, split(viaduct, free.key, 1)))
    assert "visit-too-short" not in breaches(by_hand(viaduct, split(viaduct, free.key, 1)))


def test_another_way_takes_its_own_time_and_back_is_back(viaduct: Session) -> None:
    other = next(one for one in offers(viaduct, HEADERS) if one.gang is None and not one.standing)
    made = by_hand(viaduct, done_as(viaduct, HEADERS, other.way))
    visits = plan_of(made).visits_of(HEADERS)
    assert {one.alternative for one in visits} == {other.way}
    assert sum(one.finish - one.start for one in visits) == operation_as(viaduct, HEADERS, other.way).length
    assert not {"visits-wrong-length", "alternative-unknown"} & set(breaches(made))
    back = done_as(made, HEADERS, plan_of(viaduct).visits_of(HEADERS)[0].alternative)
    assert set(back.placements) == set(plan_of(viaduct).placements)


def test_each_offer_says_what_the_audit_would_say(viaduct: Session) -> None:
    found = [effect(viaduct, one) for one in offers(viaduct, HEADERS)]
    assert {one.offer.name for one in found if one.offer.gang is None} >= {USUAL, "Standard header mortar"}
    assert sum(one.offer.standing for one in found) == 2
    for one in found:
        assert len(one.new) == len(breaches(one.session)) - len(breaches(viaduct)) + one.gone
        said = " ".join(one.words)
        assert "As it is in the plan" in said if one.offer.standing else f"Breaks {len(one.new) or 'no'} rule" in said
    cheaper = next(one for one in found if one.offer.cost < 0)
    assert "420 GBP less" in " ".join(cheaper.words)


def test_every_gang_with_the_skill_is_offered_and_no_other(viaduct: Session) -> None:
    for operation in viaduct.work.operations[:40]:
        able = {gang.id for gang in viaduct.loaded.job.gangs if operation.skill in gang.skills}
        assert {one.gang for one in offers(viaduct, operation.key)} - {None} == able
        for gang in able:
            made = made_by(viaduct, operation.key, gang)
            assert {one.gang for one in made.visits_of(operation.key)} == {gang}


def dialog_of(window: MainWindow, qtbot: QtBot, key: str) -> OffersDialog:
    assert window.board is not None
    window.board.go_to(key)
    qtbot.keyClick(window.board, Qt.Key.Key_C)
    dialog = window.findChild(OffersDialog)
    assert dialog is not None
    qtbot.waitUntil(lambda: not dialog.asker.busy, timeout=WAIT_MS)
    return dialog


def test_where_there_is_no_choice_the_dialog_says_so(own_window: MainWindow, qtbot: QtBot) -> None:
    assert own_window.session is not None
    dialog = dialog_of(own_window, qtbot, own_window.session.gaps[0].after)
    assert "No other gang has the skill" in dialog.list.item(dialog.list.count() - 1).text()
    assert not dialog.take.isEnabled()
    dialog.reject()


def test_a_gang_taken_in_the_dialog_is_one_step_of_undo(own_window: MainWindow, qtbot: QtBot) -> None:
    second = {
        "id": "others",
        "name": "Other <b>gang</b> & co",
        "size": 2,
        "skills": ["coating"],
        "cost_per_shift": 500,
        "shifts": [{"name": "Day", "rule": "FREQ=DAILY", "start": "08:00", "finish": "18:00"}],
    }
    own_window.editor.change("second gang", {("gangs", 1): second})
    qtbot.waitUntil(lambda: not own_window.editor.busy, timeout=WAIT_MS)
    before = own_window.session
    assert before is not None
    dialog = dialog_of(own_window, qtbot, before.gaps[0].after)
    rows = [dialog.list.item(row).text() for row in range(dialog.list.count())]
    at = next(row for row, words in enumerate(rows) if words.startswith("Other <b>gang</b> & co"))
    assert "Breaks no rule" in rows[at]
    dialog.list.setCurrentRow(at)
    qtbot.mouseClick(dialog.take, Qt.MouseButton.LeftButton)
    assert own_window.session is not None
    assert {one.gang for one in plan_of(own_window.session).visits_of(before.gaps[0].after)} == {"others"}
    assert "moved by hand" in own_window.header.status.text()
    own_window.actions_by_name["undo"].trigger()
    assert own_window.session is before


def test_a_visit_is_split_from_the_menu_and_joined_again(own_window: MainWindow, qtbot: QtBot) -> None:
    assert own_window.session is not None
    assert own_window.board is not None
    before = own_window.session
    key = max(plan_of(before).placements, key=lambda one: one.finish - one.start).operation
    own_window.board.go_to(key)
    for words, count in (("Split this visit in two", 2), ("Join it with the next visit", 1)):
        menu = own_window.hands.make_menu()
        action = next(one for one in menu.actions() if one.text() == words)
        assert action.isEnabled()
        action.trigger()
        menu.deleteLater()
        qtbot.waitUntil(lambda: not own_window.hands.asker.busy, timeout=WAIT_MS)
        assert own_window.session is not None
        assert len(plan_of(own_window.session).visits_of(key)) == count
    assert own_window.mover.stack.count() == 2
    own_window.actions_by_name["undo"].trigger()
    own_window.actions_by_name["undo"].trigger()
    assert own_window.session is before
