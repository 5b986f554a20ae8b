"""The About page with the cautions, and the page of keys."""

from __future__ import annotations

from html import escape
from importlib.metadata import PackageNotFoundError, version

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from app.board.keys import KEY_HELP
from app.cautions import CAUTIONS

_MENU_KEYS = (
    ("Ctrl+O", "open a job"),
    ("F5, Shift+F5", "plan, and stop"),
    ("Ctrl+F, F3, Shift+F3", "find by element, operation, product or gang; the next match, the one before"),
    ("Ctrl+Shift+F", "filter the board by gang, structure, closure or days; Esc shows all"),
    ("F7", "mend the rest: what you moved or pinned stays, as little as possible of all else moves"),
    ("Ctrl+1, Ctrl+2", "the board, the weather"),
    ("Ctrl+Z, Ctrl+Shift+Z", "in the weather: undo and redo a change of the forecast"),
    ("F6", "from the board to the details, the findings and back"),
    ("Ctrl+S", "save the plan"),
    ("Ctrl+P, Ctrl+Shift+P", "the board as PDF, as image"),
)


class TextDialog(QDialog):
    """A page of text with one button."""

    def __init__(self, title: str, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.resize(600, 460)
        self.text = QTextBrowser(accessibleName=title)
        self.text.setHtml(html)
        self.text.document().setDocumentMargin(16)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
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


def keys_dialog(parent: QWidget | None = None) -> TextDialog:
    """Return the page of keys."""
    rows = "".join(
        f"<tr><td style='padding:3px 18px 3px 0'><b>{escape(keys)}</b></td><td>{escape(words)}</td></tr>"
        for keys, words in (*KEY_HELP, *_MENU_KEYS)
    )
    return TextDialog("Keys", f"<h3>Keys</h3><table>{rows}</table>", parent)
