"""The box in the header that says what to plan for: single aims to pick at once, and the button for all else."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QPushButton, QWidget

from app.plan_for import PlanFor
from planner.model import Aim

_SINGLE = tuple(PlanFor((aim,)) for aim in Aim)


class AimsBox(QWidget):
    """One single aim or what was put together last; `asked` when the form for more is wanted."""

    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._offered: tuple[PlanFor, ...] = ()
        self.list = QComboBox(accessibleName="Plan for")
        self.list.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.list.currentIndexChanged.connect(lambda _index: self._say())
        self.more = QPushButton("…", accessibleName="Plan for several aims")
        self.more.setToolTip("Several aims in order, money put on each, and what change counts from (Ctrl+F5)")
        self.more.clicked.connect(self.asked)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(self.list)
        row.addWidget(self.more)
        self.setFocusProxy(self.list)
        self.wanted = PlanFor()

    @property
    def wanted(self) -> PlanFor:
        """What the next plan is made best at."""
        return self._offered[self.list.currentIndex()]

    @wanted.setter
    def wanted(self, one: PlanFor) -> None:
        self._offered = _SINGLE if one in _SINGLE else (*_SINGLE, one)
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([offered.short_words for offered in self._offered])
        self.list.setCurrentIndex(self._offered.index(one))
        self.list.blockSignals(False)
        self._say()

    def _say(self) -> None:
        self.list.setToolTip(f"The next plan is for {self.wanted.words}")
        self.list.setAccessibleDescription(self.wanted.words)
