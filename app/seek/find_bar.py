"""The strip over the board in which text is looked for."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from app.seek.find import Entry, beside, matches


class FindBar(QFrame):
    """Hidden until it is asked for; every key goes to the first match from where the selection is."""

    wanted = Signal(str)
    """The operation to go to."""
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="seek")
        self._entries: tuple[Entry, ...] = ()
        self._here: str | None = None
        self._just_typed = False
        self.field = QLineEdit(accessibleName="Find on the board", clearButtonEnabled=True)
        self.field.setPlaceholderText("Element, operation, product, gang …")
        self.field.setToolTip("Words in any order; Enter stays at the match, Enter again goes to the next")
        self.field.textEdited.connect(self._typed)
        self.count = QLabel("", objectName="quiet")
        self.before = QPushButton("Previous", toolTip="The match before (Shift+F3)")
        self.after = QPushButton("Next", toolTip="The next match (F3)")
        self.away = QPushButton("Close", toolTip="Close this (Esc)")
        self.before.clicked.connect(lambda: self.go(False))
        self.after.clicked.connect(lambda: self.go(True))
        self.away.clicked.connect(self.close_bar)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 5, 12, 5)
        label = QLabel("Find", objectName="panelTitle")
        label.setBuddy(self.field)
        for widget in (label, self.field, self.count, self.before, self.after, self.away):
            layout.addWidget(widget)
        layout.setStretch(1, 1)
        self.hide()

    def open_bar(self) -> None:
        """Show the strip and let it take the keys."""
        self.show()
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.field.selectAll()

    def close_bar(self) -> None:
        """Put the strip away."""
        self.hide()
        self.closed.emit()

    def show_entries(self, entries: tuple[Entry, ...]) -> None:
        """Look in other operations."""
        self._entries = entries
        self._tell()

    def select(self, key: str) -> None:
        """Take it that this operation is selected on the board."""
        self._here = key or None
        self._tell()

    def go(self, forward: bool) -> None:
        """Go to the next match, or the one before."""
        self._just_typed = False
        order = [entry.key for entry in self._entries]
        key = beside(self._found(), self._here, order, forward)
        if key is not None:
            self.wanted.emit(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.close_bar()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._entered(not event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        else:
            super().keyPressEvent(event)

    def _entered(self, forward: bool) -> None:
        """Go on; but Enter right after typing means the match that typing has led to."""
        if self._just_typed and self._here in self._found():
            self._just_typed = False
            self.wanted.emit(self._here)
        else:
            self.go(forward)

    def _typed(self) -> None:
        found = self._found()
        self._tell()
        if found and self._here not in found:
            self.go(True)
        self._just_typed = True

    def _found(self) -> tuple[str, ...]:
        return matches(self._entries, self.field.text())

    def _tell(self) -> None:
        found = self._found()
        at = found.index(self._here) + 1 if self._here in found else 0
        words = f"{at} of {len(found)}" if at else f"{len(found)} found"
        self.count.setText(words if found else "Nothing found" if self.field.text().strip() else "")
        for button in (self.before, self.after):
            button.setEnabled(bool(found))
