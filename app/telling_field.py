"""A field that says in its tip all that is typed in it, where it has no room to show it."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QLineEdit, QToolTip

from app.hover import plain_tip

_EDGES_PX = 12


class TellingField(QLineEdit):
    """Short words stand in it whole; of longer ones the tip holds the rest, over what the field is for."""

    @property
    def tip_words(self) -> str:
        """What the tip says now."""
        whole = self.fontMetrics().horizontalAdvance(self.text()) <= self.width() - _EDGES_PX
        return self.toolTip() if whole else f"{self.text()}\n{self.toolTip()}".strip()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), plain_tip(self.tip_words), self)
            return True
        return super().event(event)
