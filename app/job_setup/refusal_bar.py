"""What stands below the form: why something was not taken, and a button where it can be had with more."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from app.elided_label import ElidedLabel
from app.layouts import EDGE_PX

_LINES = 3
"""Lines kept free for the words, so that nothing moves when they come."""


class RefusalBar(QWidget):
    """Words, and at times an offer; new words end the offer before."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = ElidedLabel("bad")
        self.words.set_lines(_LINES)
        self.accept = QPushButton("Add &with these")
        self.accept.clicked.connect(self._accept)
        self._taken: Callable[[], None] | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(EDGE_PX, 4, EDGE_PX, 6)
        row.addWidget(self.words, 1)
        row.addWidget(self.accept)
        self.accept.hide()

    def text(self) -> str:
        """Return what it says."""
        return self.words.text()

    def setText(self, words: str) -> None:
        """Say why something was not taken; "" for nothing."""
        self.words.setText(words)
        self._taken = None
        self.accept.hide()

    def offer(self, words: str, tip: str, taken: Callable[[], None]) -> None:
        """Say what is lacking, and offer to have it added: then `taken` is called."""
        self.setText(words)
        self._taken = taken
        self.accept.setToolTip(tip)
        self.accept.show()

    def _accept(self) -> None:
        taken = self._taken
        self.setText("")
        if taken is not None:
            taken()
