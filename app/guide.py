"""The guide's window: its pages at the left, the chosen one beside them."""

from __future__ import annotations

from html import escape

from PySide6.QtWidgets import QHBoxLayout, QListWidget, QTextBrowser, QWidget

from app.dialog import Dialog
from app.guide_words import GUIDE, Walk
from app.plain_buttons import Standard, plain_buttons
from app.text_size import larger


class GuideDialog(Dialog):
    """Shows one page at a time; stays beside the window, so that one can follow it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Guide")
        self.pages = QListWidget(accessibleName="Pages of the guide", wordWrap=True)
        self.pages.setToolTip("Choose a page with the arrow keys or a click")
        self.pages.addItems([walk.title for walk in GUIDE])
        self.pages.setFixedWidth(larger(self, 200))
        self.text = QTextBrowser(accessibleName="The page chosen")
        self.text.document().setDocumentMargin(16)
        buttons = plain_buttons(Standard.Close)
        buttons.rejected.connect(self.reject)
        middle = QHBoxLayout()
        middle.addWidget(self.pages)
        middle.addWidget(self.text, 1)
        layout = self.lines()
        layout.addLayout(middle, 1)
        layout.addWidget(buttons)
        self.resize(larger(self, 780), min(larger(self, 520), 700))
        self.pages.currentRowChanged.connect(self._show_page)
        self.pages.setCurrentRow(0)

    def _show_page(self, row: int) -> None:
        if 0 <= row < len(GUIDE):
            self.text.setHtml(walk_html(GUIDE[row]))


def walk_html(walk: Walk) -> str:
    """Return a page as simple HTML."""
    steps = "".join(f"<li style='margin-bottom:7px'>{escape(step)}</li>" for step in walk.steps)
    return (
        f"<h2>{escape(walk.title)}</h2><p>{escape(walk.lead)}</p>"
        f"<ol>{steps}</ol><p><b>Bear in mind:</b> {escape(walk.mind)}</p>"
    )
