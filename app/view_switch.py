"""The switch between the views of a job: one button each, in the header; more can be added."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QPushButton, QWidget

from app.flow import Flow


class ViewSwitch(QWidget):
    """Says which view is wanted; shows which one is there."""

    chosen = Signal(str)
    """The name of the view that is wanted."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("View")
        policy = self.sizePolicy()
        policy.setRetainSizeWhenHidden(True)  # nothing moves when the first job opens
        self.setSizePolicy(policy)
        self.buttons: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        self._row = Flow(self, spacing=0)

    def add(self, name: str, words: str, key: str) -> None:
        """Add a view: its name in code, its words, and the key that the menu gives it."""
        button = QPushButton(words, objectName="view", checkable=True, toolTip=f"{words} ({key})")
        button.clicked.connect(lambda _checked=False, wanted=name: self.chosen.emit(wanted))
        self._group.addButton(button)
        self._row.addWidget(button)
        self.buttons[name] = button

    def show_view(self, name: str) -> None:
        """Mark the view that is there."""
        self.buttons[name].setChecked(True)

    @property
    def current(self) -> str:
        """The name of the view that is marked, or "" before the first."""
        return next((name for name, button in self.buttons.items() if button.isChecked()), "")
