"""The window's menus: every action in one table, each with its key and what it calls."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu


@dataclass(frozen=True)
class Item:
    """One action: its name in code, its words, its key, what it does."""

    name: str
    words: str
    key: str
    does: Callable[[], object]


def add_menu(window: QMainWindow, title: str, items: tuple[Item | None, ...]) -> dict[str, QAction]:
    """Add a menu to the window; None is a line between groups. Return its actions by name."""
    menu = window.menuBar().addMenu(title)
    actions: dict[str, QAction] = {}
    for item in items:
        if item is None:
            menu.addSeparator()
            continue
        action = QAction(item.words, window)
        if item.key:
            action.setShortcut(QKeySequence(item.key))
        action.triggered.connect(lambda _checked=False, does=item.does: does())
        menu.addAction(action)
        actions[item.name] = action
    return actions


def add_choice(
    window: QMainWindow,
    menu_title: str,
    title: str,
    choices: tuple[tuple[str, str], ...],
    chosen: str,
    does: Callable[[str], object],
) -> QMenu:
    """Add a submenu of which one entry is ticked; `does` gets the value chosen."""
    parent = next(action.menu() for action in window.menuBar().actions() if action.text() == menu_title)
    assert isinstance(parent, QMenu)
    menu = parent.addMenu(title)
    group = QActionGroup(menu)
    for value, words in choices:
        action = QAction(words, menu, checkable=True, checked=value == chosen)
        action.setData(value)
        group.addAction(action)
        menu.addAction(action)
    group.triggered.connect(lambda action: does(str(action.data())))
    return menu
