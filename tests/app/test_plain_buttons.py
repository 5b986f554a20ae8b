"""Buttons of dialogs have words only: no system's pictures on some of them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QDialogButtonBox, QPushButton
from pytestqt.qtbot import QtBot

import app
from app.plain_buttons import Standard, plain_buttons


def test_no_picture_whatever_the_style(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    pictured = QDialogButtonBox.addButton

    def with_picture(self: QDialogButtonBox, *words: object) -> QPushButton:
        button = pictured(self, *words)
        button.setIcon(QIcon(QPixmap(8, 8)))
        return button

    monkeypatch.setattr(QDialogButtonBox, "addButton", with_picture)
    box = plain_buttons(Standard.Ok, Standard.Cancel, Standard.Close)
    qtbot.addWidget(box)
    assert len(box.buttons()) == 3
    assert all(button.icon().isNull() for button in box.buttons())


def test_every_dialog_takes_its_buttons_from_there() -> None:
    files = Path(app.__file__).parent.rglob("*.py")
    own = [path.name for path in files if "QDialogButtonBox(" in path.read_text("utf-8")]
    assert own == ["plain_buttons.py"]
