"""For everybody: each control has a name and a tip, takes the keys in an order that can be followed, and shows it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QScrollBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.window import MainWindow

VIEWS = ("board", "weather", "sheet", "record", "closures", "replan", "risk", "setup", "table")


def shown_views(window: MainWindow) -> list[str]:
    return [name for name in VIEWS if name in window.views.names]


def controls(page: QWidget) -> list[QWidget]:
    """Return what takes the keys on a page and is seen; parts of other controls are left out."""
    found = []
    for widget in page.findChildren(QWidget):
        inner = isinstance(widget.parent(), QComboBox | QAbstractScrollArea) or isinstance(widget, QScrollBar)
        inner = inner or widget.objectName() in ("qt_spinbox_lineedit", "qt_scrollarea_viewport")
        if widget.isVisible() and widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not inner:
            found.append(widget)
    return found


def name_of(widget: QWidget) -> str:
    """Return what a screen reader calls it; of a list to choose from, not what is chosen in it."""
    if isinstance(widget, QComboBox | QLineEdit | QAbstractSpinBox):
        return widget.accessibleName()
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name).strip() if interface else ""


def test_every_control_of_every_view_has_a_name_and_a_tip(own_window: MainWindow) -> None:
    nameless, without_tip = set(), set()
    for name in shown_views(own_window):
        own_window.views.show(name)
        QApplication.processEvents()
        for widget in controls(own_window.centralWidget()):
            if not name_of(widget):
                nameless.add(f"{name}: {widget}")
            if isinstance(widget, QAbstractButton | QComboBox | QLineEdit) and not widget.toolTip():
                without_tip.add(f"{name}: {name_of(widget)}")
    assert nameless == set()
    assert without_tip == set()


def test_the_tab_key_reaches_every_control_and_comes_round(own_window: MainWindow, qtbot: QtBot) -> None:
    for name in shown_views(own_window):
        own_window.activateWindow()
        own_window.views.show(name)
        QApplication.processEvents()
        wanted = {id(widget) for widget in controls(own_window.centralWidget()) if widget.isEnabled()}
        reached: set[int] = set()
        for _ in range(3 * len(wanted) + 30):
            own_window.focusNextChild()
            at = own_window.focusWidget()
            reached.add(id(at))
            reached |= {id(one) for one in _owners(at)}
        missing = [w for w in controls(own_window.centralWidget()) if w.isEnabled() and id(w) not in reached]
        assert [name_of(widget) for widget in missing] == [], name


def _owners(widget: QWidget | None) -> list[QWidget]:
    """Return whoever gave the keys on to this widget."""
    found, one = [], widget
    while one is not None:
        found.append(one)
        one = one.parentWidget()
    return found


def test_who_has_the_keys_looks_different(own_window: MainWindow) -> None:
    own_window.activateWindow()
    board = own_window.board
    assert board is not None
    for widget in (
        own_window.header.plan,
        own_window.header.views.buttons["weather"],
        own_window.findings.list,
        board,
    ):
        own_window.details.words.setFocus()
        QApplication.processEvents()
        before = widget.grab().toImage()
        widget.setFocus()
        QApplication.processEvents()
        assert widget.grab().toImage() != before, widget


def test_the_window_and_its_bars_are_told(own_window: MainWindow) -> None:
    own_window.notices.say("x", "Somebody changed the file.")
    notice = own_window.notices["x"]
    assert name_of(notice) == "Somebody changed the file."
    assert [button.text() for button in notice.buttons] == ["Hide"]
    assert own_window.board is not None
    assert name_of(own_window.board) == "Board"
