"""How tests use the job set-up: things chosen, values typed, changes waited for."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.job_setup.view import JobSetupView
from app.window import MainWindow

WAIT_MS = 20_000


def type_into(view: JobSetupView, qtbot: QtBot, path: tuple[Any, ...], text: str) -> QLineEdit:
    editor = view.form.lines[path].editor
    assert isinstance(editor, QLineEdit)
    editor.setFocus()
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    return editor


def settled(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)


def chosen(view: JobSetupView, key: str) -> None:
    view.tree.choose(key)
    assert view.item is not None
    assert view.item.key == key
