"""The strip under the header that says why there is no plan: a sentence, and what can't all hold, numbered."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from app.text_size import larger
from app.theme import Theme

_MOST_PX = 190
_SHARE = 0.25
_SIDE_PX = 14


class Banner(QFrame):
    """Hidden until there is something to say; scrolls where it is long; the user can put it away."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="banner")
        self._theme = theme
        self._lines: tuple[str, ...] = ()
        self.words = QTextBrowser(accessibleName="Why there is no plan", objectName="bannerWords")
        self.words.setOpenLinks(False)
        self.words.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.words.document().setDocumentMargin(0)
        self.away = QPushButton("Hide", toolTip="Put this away; planning again brings it back")
        self.away.clicked.connect(self.hide)
        aside = QVBoxLayout()
        aside.addWidget(self.away)
        aside.addStretch(1)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(_SIDE_PX, 9, _SIDE_PX, 9)
        layout.addWidget(self.words, 1)
        layout.addLayout(aside)
        self.hide()

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self._theme = theme
        self._write()

    def say(self, lines: Sequence[str]) -> None:
        """Show a lead sentence and what follows from it; numbered where the lead announces it with a colon."""
        self._lines = tuple(lines)
        self._write()
        self.setVisible(bool(lines))
        self._fit()

    def text(self) -> str:
        """Return what it says, as plain text."""
        return "\n".join(self._lines)

    def _write(self) -> None:
        if not self._lines:
            self.words.clear()
            return
        lead, *rest = self._lines
        parts = [f'<p style="margin:0; color:{self._theme.breach}">{escape(lead)}</p>']
        if lead.endswith(":"):
            items = "".join(f'<li style="margin:4px 0 0 0">{escape(_capital(line))}</li>' for line in rest)
            parts.append(f'<ol style="margin:0; -qt-list-indent:1; color:{self._theme.ink}">{items}</ol>')
        else:
            ink = self._theme.ink
            parts += [f'<p style="margin:4px 0 0 0; color:{ink}">{escape(line)}</p>' for line in rest]
        self.words.setHtml("".join(parts))

    def _fit(self) -> None:
        """Be as tall as the words at this width, up to the most."""
        document = self.words.document()
        document.setTextWidth(self.words.viewport().width())
        wanted = max(self.away.sizeHint().height(), round(document.size().height()) + 4)
        self.words.setFixedHeight(min(self._most, wanted))

    @property
    def _most(self) -> int:
        """The most that its words may take of the window's height [px]: less of it where text is large."""
        enlarged = larger(self, 100) / 100
        return min(_MOST_PX, round(self.window().height() * _SHARE / enlarged**2))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit()


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"
