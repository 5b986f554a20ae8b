"""Quiet bars under the header: one thing each that the user should know, with what can be done about it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

Choice = tuple[str, str, Callable[[], object]]
"""A button's words, its tool tip, and what it does."""


class Notice(QFrame):
    """One bar; it goes when a button is pressed."""

    def __init__(self, words: str, choices: Sequence[Choice], parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="notice")
        self.words = QLabel(words, wordWrap=True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setAccessibleName(words)
        self.buttons: list[QPushButton] = []
        layout = QHBoxLayout(self)
        layout.setContentsMargins(14, 6, 14, 6)
        layout.setSpacing(8)
        layout.addWidget(self.words, 1)
        for text, tip, does in choices:
            button = QPushButton(text, toolTip=tip)
            button.clicked.connect(lambda _checked=False, does=does: does())
            layout.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
            self.buttons.append(button)


class Notices(QWidget):
    """The bars that stand, each under a name; a new one takes the place of the old one of its name."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: dict[str, Notice] = {}
        self._lines = QVBoxLayout(self)
        self._lines.setContentsMargins(0, 0, 0, 0)
        self._lines.setSpacing(0)
        self.hide()

    def say(self, name: str, words: str, choices: Sequence[Choice] = ()) -> None:
        """Show a bar; each choice takes it away before it does what it says. Without one it can be hidden."""
        self.drop(name)
        closing = [(text, tip, self._then(name, does)) for text, tip, does in choices]
        notice = Notice(words, closing or [("Hide", "Put this away", lambda: self.drop(name))])
        self._shown[name] = notice
        self._lines.addWidget(notice)
        self.show()

    def drop(self, name: str) -> None:
        """Take a bar away, if it is there."""
        notice = self._shown.pop(name, None)
        if notice is not None:
            notice.hide()
            notice.deleteLater()
        self.setVisible(bool(self._shown))

    def clear(self) -> None:
        """Take all away: another job is opened."""
        for name in tuple(self._shown):
            self.drop(name)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the bars that stand."""
        return tuple(self._shown)

    def __getitem__(self, name: str) -> Notice:
        return self._shown[name]

    def __contains__(self, name: str) -> bool:
        return name in self._shown

    def _then(self, name: str, does: Callable[[], object]) -> Callable[[], object]:
        def go() -> None:
            self.drop(name)
            does()

        return go
