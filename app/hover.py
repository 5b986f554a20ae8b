"""Words under the pointer, for every picture that is painted rather than made of widgets."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from PySide6.QtCore import QEvent
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget


def show_words(event: QEvent, words_at: Callable[[float, float], str], viewport: QWidget) -> bool:
    """Answer a tool tip event with the words at its place, or hide what is shown; say whether it was one."""
    if not isinstance(event, QHelpEvent) or event.type() is not QEvent.Type.ToolTip:
        return False
    words = words_at(float(event.pos().x()), float(event.pos().y()))
    if words:
        QToolTip.showText(event.globalPos(), plain_tip(words), viewport)
    else:
        QToolTip.hideText()
    return True


def plain_tip(words: str) -> str:
    """Return words for a tool tip so that they are shown as they are: Qt reads tags in them where it sees any."""
    if "<" not in words:
        return words
    return f"<qt>{escape(words).replace(chr(10), '<br>')}</qt>"
