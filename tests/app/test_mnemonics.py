"""Alt and a letter mean one thing in the replan and the risk view, and never hide a menu's own letter."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from PySide6.QtWidgets import QAbstractButton, QLabel

from app.window import MainWindow


def letters(texts: list[str]) -> list[str]:
    return [found[1].upper() for text in texts if (found := re.search(r"&(\w)", text))]


@pytest.mark.parametrize("name", ["replan", "risk", "record"])
def test_each_letter_is_used_once(own_window: MainWindow, name: str) -> None:
    own_window.views.show(name)
    view = own_window.pages[name]
    labels = [one.text() for one in view.findChildren(QLabel) if one.buddy() is not None]
    buttons = [one.text() for one in view.findChildren(QAbstractButton)]
    menus = [action.text() for action in own_window.menuBar().actions()]
    used = Counter(letters([*labels, *buttons, *menus]))
    assert len(used) > len(menus)
    assert [letter for letter, count in used.items() if count > 1] == []
