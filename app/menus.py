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


@dataclass(frozen=True)
class Group:
    """A menu in the menu."""

    words: str
    items: tuple[Item, ...]


Entries = tuple[Item | Group | None, ...]
"""What stands in a menu; None is a line between groups."""


def add_menu(window: QMainWindow, title: str, items: Entries) -> dict[str, QAction]:
    """Add a menu to the window; return its actions by name."""
    return _fill(window, window.menuBar().addMenu(title), items)


def _fill(window: QMainWindow, menu: QMenu, items: Entries) -> dict[str, QAction]:
    actions: dict[str, QAction] = {}
    for item in items:
        if item is None:
            menu.addSeparator()
            continue
        if isinstance(item, Group):
            actions |= _fill(window, menu.addMenu(item.words), item.items)
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
