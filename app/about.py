"""The About page with the cautions, and the page of keys."""

from __future__ import annotations

from html import escape
from importlib.metadata import PackageNotFoundError, version
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QTextBrowser, QWidget

from app.cautions import CAUTIONS
from app.dialog import Dialog
from app.key_map import key_html
from app.plain_buttons import Standard, plain_buttons

if TYPE_CHECKING:
    from app.window import MainWindow


class TextDialog(Dialog):
    """A page of text with one button."""

    def __init__(self, title: str, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.open_at(600, 460)
        self.text = QTextBrowser(accessibleName=title)
        self.text.setHtml(html)
        self.text.document().setDocumentMargin(16)
        buttons = plain_buttons(Standard.Close)
        buttons.rejected.connect(self.reject)
        layout = self.lines()
        layout.addWidget(self.text)
        layout.addWidget(buttons)


def about_dialog(parent: QWidget | None = None) -> TextDialog:
    """Return the About page."""
    try:
        number = version("liftgap")
    except PackageNotFoundError:
        number = "not installed"
    cautions = "".join(f"<li style='margin-bottom:6px'>{escape(words)}</li>" for words in CAUTIONS)
    html = (
        f"<h2>Liftgap</h2><p>Version {escape(number)}</p>"
        "<p>Every layer opens a gap that shuts again.</p>"
        f"<h3>Before you rely on it</h3><ul>{cautions}</ul>"
        "<p>The letters are DejaVu Sans; its licence is beside the font files.</p>"
    )
    return TextDialog("About Liftgap", html, parent)


def keys_dialog(window: MainWindow) -> TextDialog:
    """Return the page of keys."""
    return TextDialog("Keys", key_html(window), window)
