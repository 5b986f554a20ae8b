"""The map of keys, written from the menus and the views themselves, so that it can't say what is not so."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence

from app.board.keys import KEY_HELP

if TYPE_CHECKING:
    from app.window import MainWindow

Keys = tuple[tuple[str, str], ...]
"""Keys, and what they do."""
_KEYS_PCT = 34
"""Share of the width that keys have in all tables, so that the words of one stand under those of another."""


def key_sections(window: MainWindow) -> tuple[tuple[str, Keys], ...]:
    """Return the headings of the map with their keys: everywhere, on the board, and in each view that has its own."""
    views = ((words, window.pages[name].keys) for name, words in window.view_words)
    own = tuple((f"In the {words} view", keys) for words, keys in views if keys)
    everywhere = menu_keys(window.actions_by_name.values())
    return (("Everywhere", everywhere), ("On the board", KEY_HELP), *own)


def menu_keys(actions: Iterable[QAction]) -> Keys:
    """Return the keys of menu entries with their words."""
    return tuple((key_words(action), action_words(action)) for action in actions if not action.shortcut().isEmpty())


def key_words(action: QAction) -> str:
    """Return an entry's key as it is called on this machine."""
    return action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)


def action_words(action: QAction) -> str:
    """Return an entry's words without the marks of the menu."""
    return action.text().split("\t")[0].replace("&", "").removesuffix("…").strip()


def key_html(window: MainWindow) -> str:
    """Return the map as a page."""
    return "".join(_section(title, keys) for title, keys in key_sections(window))


def _section(title: str, keys: Keys) -> str:
    cell = "<td width='{}%' style='padding:3px {}px 3px 0; vertical-align:middle'>{}</td>"
    rows = "".join(
        f"<tr>{cell.format(_KEYS_PCT, 18, f'<b>{escape(key)}</b>')}"
        f"{cell.format(100 - _KEYS_PCT, 0, escape(words))}</tr>"
        for key, words in keys
    )
    return f"<h3>{escape(title)}</h3><table width='100%'>{rows}</table>"
