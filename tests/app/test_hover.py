"""Tool tips show names from the job as they are."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QTextDocument
from pytestqt.qtbot import QtBot

from app.elided_label import ElidedLabel
from app.hover import plain_tip


@pytest.mark.parametrize(
    "words", ["<img src='file:///etc/hostname'>", "<b>Deck</b> & kerb", "plain & simple", "=cmd()", "a\n<i>b</i>"]
)
def test_a_tip_reads_as_it_was_written(qtbot: QtBot, words: str) -> None:
    label = ElidedLabel("status")
    qtbot.addWidget(label)
    label.setText(words)
    tip = label.toolTip()
    assert tip == plain_tip(words)
    if "<" not in tip:
        assert tip == words
        return
    document = QTextDocument()
    document.setHtml(tip)
    assert document.toPlainText() == words
