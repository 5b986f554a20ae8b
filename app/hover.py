"""Words under the pointer, for every picture that is painted rather than made of widgets."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget


def show_words(event: QEvent, words_at: Callable[[float, float], str], viewport: QWidget) -> bool:
    """Answer a tool tip event with the words at its place, or hide what is shown; say whether it was one."""
    if not isinstance(event, QHelpEvent) or event.type() is not QEvent.Type.ToolTip:
        return False
    words = words_at(float(event.pos().x()), float(event.pos().y()))
    if words:
        QToolTip.showText(event.globalPos(), words, viewport)
    else:
        QToolTip.hideText()
    return True
