"""A list to choose from that ends in an ellipsis where its words have no room, and says them whole in its tip."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QHelpEvent, QPaintEvent
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QStylePainter, QToolTip

from app.hover import plain_tip


class ElidedChoice(QComboBox):
    """As wide as a number of letters, whatever it offers."""

    def keep_to(self, letters: int) -> None:
        """Ask for the width of so many letters; what is longer is cut."""
        self.setMinimumContentsLength(letters)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)

    @property
    def shown_words(self) -> str:
        """What can be read of the words chosen."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        field = QStyle.SubControl.SC_ComboBoxEditField
        room = self.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, option, field, self).width()
        return self.fontMetrics().elidedText(self.currentText(), Qt.TextElideMode.ElideRight, room - 2)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        option.currentText = self.shown_words
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.end()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and self.shown_words != self.currentText():
            QToolTip.showText(event.globalPos(), plain_tip(f"{self.currentText()}\n{self.toolTip()}"), self)
            return True
        return super().event(event)
