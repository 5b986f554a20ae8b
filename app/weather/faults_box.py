"""The box that says what is wrong with a forecast, over the chart that stays as it was."""

from __future__ import annotations

from html import escape
from math import ceil

from PySide6.QtCore import QSizeF, Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from planner.errors import InputError

_HEIGHT_PX, _FRAME_PX = 96, 4


class FaultsBox(QFrame):
    """Hidden until something is wrong; the user puts it away."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = QLabel("", objectName="bad", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.words = QTextBrowser(accessibleName="Faults of the forecast")
        self.away = QPushButton("Put away")
        self.away.clicked.connect(self.hide)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.away, 0, Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 8, 10, 8)
        layout.addLayout(head)
        layout.addWidget(self.words)
        self.words.document().documentLayout().documentSizeChanged.connect(self._fit)
        self.hide()

    def _fit(self, size: QSizeF) -> None:
        """Take no more height than the words need; many of them scroll."""
        self.words.setFixedHeight(min(_HEIGHT_PX, ceil(size.height()) + _FRAME_PX))

    def show_error(self, error: Exception, kept: str) -> None:
        """List every fault of an error; `kept` says what stays."""
        faults = error.faults if isinstance(error, InputError) else ()
        name = error.file if isinstance(error, InputError) else ""
        count = (
            f"{len(faults)} fault{'s' if len(faults) != 1 else ''} in {name}" if faults else str(error).rstrip(".")
        )
        self.title.setText(f"{count}. {kept}")
        rows = "".join(f"<li style='margin-bottom:4px'>{escape(str(fault))}</li>" for fault in faults)
        self.words.setHtml(f"<ul style='margin:0'>{rows}</ul>")
        self.words.setVisible(bool(faults))
        self.show()
