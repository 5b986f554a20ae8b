"""The board's widget: keys, wheel, clicks, hover, folding; and Qt's own traps."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QFontInfo, QImage, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.board.facts import Facts
from app.board.geometry import WIDEST_PX
from app.board.kit import Kit, board_font
from app.board.rows import Density
from app.board.view import BoardView
from app.fonts import FAMILY
from app.theme import DARK, LIGHT
from tests.app.cases import board, many_facts, small_facts

Make = Callable[[Facts], BoardView]


@pytest.fixture
def make(qtbot: QtBot) -> Make:
    def made(facts: Facts) -> BoardView:
        view = BoardView(facts, Kit(LIGHT))
        qtbot.addWidget(view)
        view.resize(1046, 660)
        view.show()
        qtbot.waitExposed(view)
        return view

    return made


@pytest.fixture
def view(make: Make) -> BoardView:
    return make(small_facts())


def point_of(view: BoardView, key: str) -> QPoint:
    """Where a bar is in the viewport."""
    area = view.frame_boxes.rows
    bars = [bar for row in view.display.everything() for bar in row.bars.shapes if bar.visit.key == key]
    x = (bars[0].x0 + bars[0].x1) / 2 - view.look.x + area.x
    return QPoint(round(x), round(bars[0].y + bars[0].height / 2 - view.look.y + area.y))


def test_the_bundled_font_is_used(qapp: QApplication) -> None:
    assert QFontInfo(board_font(11)).family() == FAMILY


def test_none_keeps_its_references(view: BoardView) -> None:
    """Some PySide releases lose one at each call that returns nothing, and end the process at last."""
    label = QLabel()
    label.setText("warm")
    before = sys.getrefcount(None)
    for number in range(1_000):
        label.setText(str(number))
    assert abs(sys.getrefcount(None) - before) < 50


def test_keys_zoom_about_the_middle_and_back(view: BoardView, qtbot: QtBot) -> None:
    start = view.display.scale.px
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    assert view.display.scale.px == pytest.approx(start * 1.25)
    qtbot.keyClick(view, Qt.Key.Key_Minus)
    assert view.display.scale.px == pytest.approx(start)
    for _ in range(40):
        qtbot.keyClick(view, Qt.Key.Key_Plus)
    assert view.display.scale.px == WIDEST_PX
    qtbot.keyClick(view, Qt.Key.Key_0)
    first, last = view.facts.span
    assert view.look.x <= view.display.scale.x(first)
    assert view.display.scale.x(last) <= view.look.x + view.frame_boxes.rows.width


def test_the_wheel_zooms_about_the_pointer(view: BoardView) -> None:
    x = 700.0
    view.zoom(2.0)
    scale = view.display.scale.px
    before = view.display.scale.slot(x - view.frame_boxes.rows.x + view.look.x)
    turn(view, x, 120)
    after = view.display.scale.slot(x - view.frame_boxes.rows.x + view.look.x)
    assert view.display.scale.px == pytest.approx(scale * 1.25)
    assert after == pytest.approx(before, abs=0.3)


def test_shift_and_wheel_goes_sideways(view: BoardView) -> None:
    view.zoom(4.0)
    view.horizontalScrollBar().setValue(300)
    turn(view, 700.0, -120, Qt.KeyboardModifier.ShiftModifier)
    assert view.look.x == 420


def turn(view: BoardView, x: float, by: int, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    at = QPointF(x, view.frame_boxes.rows.y + 30)
    event = QWheelEvent(
        at, at, QPoint(), QPoint(0, by), Qt.MouseButton.NoButton, modifiers, Qt.ScrollPhase.NoScrollPhase, False
    )
    view.wheelEvent(event)


def test_dragging_bare_ground_pans(view: BoardView, qtbot: QtBot) -> None:
    view.zoom(6.0)
    view.horizontalScrollBar().setValue(400)
    y = round(view.frame_boxes.rows.bottom - 4)
    qtbot.mousePress(view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(600, y))
    view.mouseMoveEvent(_moved(500, y))
    qtbot.mouseRelease(view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(500, y))
    assert view.look.x == 500


def _moved(x: int, y: int) -> QMouseEvent:
    left = Qt.MouseButton.LeftButton
    return QMouseEvent(
        QEvent.Type.MouseMove, QPointF(x, y), QPointF(x, y), left, left, Qt.KeyboardModifier.NoModifier
    )


def test_a_click_selects_and_says_so(view: BoardView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.selected, timeout=2_000) as chosen:
        qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=point_of(view, "E1/coat"))
    assert chosen.args == ["E1/coat"]
    assert "Coat – Element E1" in view.accessibleDescription()


def test_arrows_move_the_selection_and_enter_asks_for_details(view: BoardView, qtbot: QtBot) -> None:
    keys = []
    view.selected.connect(keys.append)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_End, Qt.Key.Key_Down, Qt.Key.Key_Home):
        qtbot.keyClick(view, key)
    assert keys == ["E1/prime", "E1/coat", "E1/top", "E2/set", "E2/saw"]
    with qtbot.waitSignal(view.activated, timeout=2_000) as asked:
        qtbot.keyClick(view, Qt.Key.Key_Return)
    assert asked.args == ["E2/saw"]
    qtbot.keyClick(view, Qt.Key.Key_Escape)
    assert view.look.selected is None


def test_hover_says_what_who_when_and_how_much_to_spare(view: BoardView) -> None:
    at = point_of(view, "E1/coat")
    words = view.words_at(at.x(), at.y())
    assert "Coating gang: Mon 24 Mar 08:00–10:00" in words
    assert "opens Mon 24 Mar 05:00" in words
    assert "7 h before it shuts" in words
    assert "Surface" in words


def test_hover_over_ribbons_says_the_weather_and_the_closure(view: BoardView) -> None:
    frame = view.frame_boxes
    x = frame.rows.x + view.display.scale.x(90) - view.look.x
    assert "Air" in view.words_at(x, frame.temperature.y + 10)
    words = view.words_at(x, frame.lanes[0].y + 5)
    assert "agreed" in words
    assert "Work between set-out and clear" in words
    assert "shift" in view.words_at(x, frame.loads[1].y + 4)


def test_space_opens_the_operations_and_a_click_folds_the_structure(view: BoardView, qtbot: QtBot) -> None:
    assert len(view.display.rows.boxes) == 3
    view.select("E1/coat")
    qtbot.keyClick(view, Qt.Key.Key_Space)
    assert len(view.display.rows.boxes) == 6
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(60, round(view.frame_boxes.rows.y + 10)))
    assert len(view.display.rows.boxes) == 1
    assert view.go_to("E1/coat")
    assert len(view.display.rows.boxes) == 6


def test_going_to_nothing_says_so(view: BoardView) -> None:
    assert not view.go_to("no/such")


def test_page_keys_scroll_the_rows(make: Make, qtbot: QtBot) -> None:
    view = make(many_facts(60, 3))
    qtbot.keyClick(view, Qt.Key.Key_PageDown)
    down = view.look.y
    assert down > 200
    qtbot.keyClick(view, Qt.Key.Key_PageUp)
    assert view.look.y == 0
    qtbot.keyClick(view, Qt.Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    assert view.look.x == view.horizontalScrollBar().maximum()


@pytest.mark.parametrize("elements", [1, 120])
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_one_element_or_many_are_drawn(make: Make, elements: int, theme: object) -> None:
    view = make(many_facts(elements, 6))
    view.set_kit(Kit(theme))  # type: ignore[arg-type]
    for density in Density:
        view.set_density(density)
        image = view.viewport().grab().toImage()
        assert len(colours(image)) > 30


def test_temperatures_fold_away_and_come_back(view: BoardView) -> None:
    before = view.frame_boxes.rows.height
    view.set_ribbons_folded(True)
    assert view.frame_boxes.temperature.height == 0
    assert view.frame_boxes.rows.height > before
    assert len(colours(view.viewport().grab().toImage())) > 30
    view.set_ribbons_folded(False)
    assert view.frame_boxes.rows.height == before


def test_a_closure_without_room_for_a_word_shows_its_state_by_a_mark(make: Make) -> None:
    """With thirty days in view a box is ten pixels wide; one is agreed, a full dot, the other requested, a ring."""
    shown = make(board(small_facts().rows, days=30))
    shown.zoom(1e-9)
    frame, display = shown.frame_boxes, shown.display
    image = shown.viewport().grab().toImage()
    middle = round(frame.lanes[0].y + frame.lanes[0].height / 2 - 0.25)
    inks = []
    for strip in shown.facts.lanes[0].closures:
        x = round(frame.rows.x + display.scale.x((strip.start + strip.finish) / 2) - shown.look.x)
        inks.append(image.pixel(x, middle))
    assert inks[0] != inks[1]


def colours(image: QImage) -> set[int]:
    return {image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 5)}


def test_the_now_line_moves_with_the_clock(view: BoardView) -> None:
    view.set_clock(lambda: 40.0)
    with_line = view.viewport().grab().toImage()
    view.set_clock(lambda: None)
    assert view.viewport().grab().toImage() != with_line


def test_a_new_plan_keeps_scale_and_selection(view: BoardView) -> None:
    view.select("E1/coat")
    view.zoom(2.0)
    scale = view.display.scale.px
    view.set_facts(small_facts())
    assert view.display.scale.px == scale
    assert view.look.selected == "E1/coat"
    view.set_facts(many_facts(2, 2))
    assert view.look.selected is None


def test_a_board_scrolled_away_stays_there_when_plan_or_size_change(make: Make) -> None:
    view = make(many_facts(4, 150))
    across = view.horizontalScrollBar()
    view.show_slot(view.facts.span[1] - 4)
    there, scale = across.value(), view.display.scale.px
    assert there > 0
    view.set_facts(view.facts)
    assert (across.value(), view.display.scale.px) == (there, scale)
    view.resize(980, 660)
    assert across.value() == pytest.approx(there, abs=2)
    assert view.display.scale.px == scale


def test_a_board_at_its_first_days_goes_on_showing_them_in_another_size(make: Make) -> None:
    view = make(many_facts(4, 150))
    first = view.display.scale.slot(view.look.x)
    view.resize(1400, 660)
    assert view.display.scale.slot(view.look.x) == pytest.approx(first, abs=8)
