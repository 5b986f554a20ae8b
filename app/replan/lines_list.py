"""A list of lines under a title, each of which may lead to its operation on the board."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.replan.rows import Line
from app.theme import Theme


class LinesList(QWidget):
    """Title, a quiet line, and the lines."""

    wanted = Signal(str)
    """The key of the operation that a line is about."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._lines: tuple[Line, ...] = ()
        self.title = QLabel("", objectName="panelTitle", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.title.setContentsMargins(14, 9, 8, 3)
        self.quiet = QLabel("", objectName="quiet", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.quiet.setContentsMargins(14, 0, 12, 8)
        self.list = QListWidget(accessibleName=name, wordWrap=True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.itemClicked.connect(self._go)
        self.list.itemActivated.connect(self._go)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        for widget in (self.title, self.quiet):
            layout.addWidget(widget)
        layout.addWidget(self.list, 1)
        layout.addStretch(0)

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self.theme = theme
        self._fill()

    def show_lines(self, title: str, quiet: str, lines: Sequence[Line]) -> None:
        """Show lines under a title."""
        self.title.setText(title)
        self.quiet.setText(quiet)
        self.quiet.setVisible(bool(quiet))
        self._lines = tuple(lines)
        self._fill()

    def _fill(self) -> None:
        self.list.clear()
        for line in self._lines:
            item = QListWidgetItem(line.words)
            item.setData(Qt.ItemDataRole.UserRole, line.key)
            item.setForeground(QColor(self.theme.breach if line.bad else self.theme.ink))
            self.list.addItem(item)
        self.list.setVisible(bool(self._lines))

    def _go(self, item: QListWidgetItem) -> None:
        key = str(item.data(Qt.ItemDataRole.UserRole) or "")
        if key:
            self.wanted.emit(key)
