"""Finding by text: every kind of word leads to its bars, in the board's order, round and back."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.seek.find import Entry, beside, index, matches
from app.session import Session
from app.window import MainWindow


def test_every_kind_of_word_is_found(viaduct: Session) -> None:
    entries = index(viaduct)
    assert viaduct.plan is not None
    keys = [entry.key for entry in entries]
    assert len(keys) == len(set(keys)) == len({one.operation for one in viaduct.plan.placements})
    job = viaduct.loaded.job
    assert set(matches(entries, "EAST wing")) == {key for key in keys if key.startswith("wing_ne/")}
    gang = job.gangs[1]
    by_gang = {one.operation for one in viaduct.plan.placements if one.gang == gang.id}
    assert set(matches(entries, gang.name.upper())) == by_gang
    operation = next(one for one in viaduct.work.operations if one.product)
    product = job.product(operation.product or "")
    using = {one.key for one in viaduct.work.operations if one.product == product.id}
    assert using <= set(matches(entries, product.name))
    assert matches(entries, "   ") == ()
    assert matches(entries, "no such word anywhere") == ()


def test_words_in_any_order_narrow_what_is_found() -> None:
    entries = (Entry("a", "first coat\npier 1"), Entry("b", "second coat\npier 1"), Entry("c", "first coat\npier 2"))
    assert matches(entries, "coat") == ("a", "b", "c")
    assert matches(entries, "pier 1 first") == ("a",)


def test_next_and_before_go_round_from_where_the_selection_is() -> None:
    order, found = ("a", "b", "c", "d"), ("b", "d")
    assert [beside(found, here, order, True) for here in (None, "a", "b", "c", "d")] == ["b", "b", "d", "d", "b"]
    assert [beside(found, here, order, False) for here in (None, "a", "b", "c", "d")] == ["d", "d", "d", "b", "b"]
    assert beside((), "a", order, True) is None


def test_the_find_key_types_and_goes_there(own_window: MainWindow, qtbot: QtBot) -> None:
    find = own_window.place.find
    assert own_window.board is not None
    own_window.actions_by_name["find"].trigger()
    assert find.isVisible()
    qtbot.keyClicks(find.field, "COAT_")
    first = own_window.board.look.selected
    assert first is not None
    assert find.count.text() == "1 of 2"
    qtbot.keyClick(find.field, Qt.Key.Key_Return)
    assert own_window.board.look.selected == first  # the first Enter means the match that is shown
    qtbot.keyClick(find.field, Qt.Key.Key_Return)
    assert own_window.board.look.selected != first
    assert find.count.text() == "2 of 2"
    own_window.actions_by_name["find_next"].trigger()
    assert own_window.board.look.selected == first
    own_window.actions_by_name["find_before"].trigger()
    assert find.count.text() == "2 of 2"
    qtbot.keyClicks(find.field, " <b>nowhere")
    assert find.count.text() == "Nothing found"
    assert not find.after.isEnabled()
    qtbot.keyClick(find.field, Qt.Key.Key_Escape)
    assert find.isHidden()


def test_what_was_found_stays_found_after_a_change_of_the_plan(own_window: MainWindow, qtbot: QtBot) -> None:
    board = own_window.board
    assert board is not None
    own_window.actions_by_name["find"].trigger()
    qtbot.keyClicks(own_window.place.find.field, "first coat")
    qtbot.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=20_000)
    assert own_window.place.find.count.text() == "1 of 1"


def test_in_the_table_the_find_key_goes_to_its_field_and_elsewhere_to_the_board(
    own_window: MainWindow, qtbot: QtBot
) -> None:
    own_window.activateWindow()
    own_window.views.show("table")
    own_window.actions_by_name["find"].trigger()
    assert own_window.views.current == "table"
    field = own_window.focusWidget()
    assert isinstance(field, QLineEdit)
    assert field.accessibleName() == "Show only lines with"
    for name in own_window.pages:
        own_window.views.show(name)
        own_window.actions_by_name["find"].trigger()
        assert own_window.views.current in (("table",) if name == "table" else ("board",))
        assert own_window.place.find.isHidden() == (name == "table")
        own_window.place.find.close_bar()
