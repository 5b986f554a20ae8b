"""The form that hands out a programme: for whom, what about, and why it goes out although rules are broken."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QWidget,
)

from app.dialog import Dialog, field_form
from app.plain_buttons import Standard, plain_buttons
from app.text_size import larger

_MOST_SHOWN = 6
_WIDE_PX, _LISTED_PX = 460, 120


class IssueDialog(Dialog):
    """Asks for the words that go with an issue; with breaches it can't be accepted without a reason."""

    def __init__(self, heading: str, breaches: Sequence[str], doubt: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Issue this programme")
        self._needs_reason = bool(breaches)
        self.heading = QLabel(heading, wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.heading.setMinimumWidth(larger(self, _WIDE_PX))
        self.doubt = QLabel(doubt, objectName="quiet", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.doubt.setVisible(bool(doubt))
        self.issued_to = QLineEdit(accessibleName="For whom")
        self.issued_to.setPlaceholderText("gang leaders, traffic office …")
        self.note = QPlainTextEdit(objectName="field", accessibleName="Note", tabChangesFocus=True)
        self.note.setFixedHeight(larger(self, 64))
        self.reason = QPlainTextEdit(accessibleName="Reason to issue it although rules are broken")
        self.reason.setObjectName("field")
        self.reason.setTabChangesFocus(True)
        self.reason.setFixedHeight(larger(self, 64))
        self.breaches = QLabel(_breach_words(breaches), objectName="quiet", wordWrap=True)
        self.breaches.setTextFormat(Qt.TextFormat.PlainText)
        self.buttons = plain_buttons(Standard.Ok, Standard.Cancel)
        self.issue = self.buttons.button(Standard.Ok)
        self.issue.setText("Issue")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.reason.textChanged.connect(self._able)
        self._lay_out()
        self._able()
        self.issued_to.setFocus()

    @property
    def despite(self) -> str:
        """The reason why it goes out although rules are broken; "" where none is."""
        return self.reason.toPlainText().strip() if self._needs_reason else ""

    def _lay_out(self) -> None:
        frozen = QLabel(
            "The plan and the forecast under it are frozen in the job file; save the job to keep them.",
            objectName="quiet",
            wordWrap=True,
        )
        form = field_form()
        form.addRow("&For", self.issued_to)
        form.addRow("&Note", self.note)
        layout = self.lines()
        for widget in (self.heading, frozen, self.doubt):
            layout.addWidget(widget)
        layout.addLayout(form)
        if self._needs_reason:
            layout.addWidget(self._listed(), 1)
            why = field_form()
            why.addRow("&Reason", self.reason)
            layout.addLayout(why)
        else:
            self.reason.hide()
        layout.addWidget(self.buttons)

    def _listed(self) -> QWidget:
        """Return the breaches in a place that scrolls: they may be long, and the screen low."""
        place = QScrollArea(widgetResizable=True, accessibleName="Breaches")
        place.setFrameShape(QFrame.Shape.NoFrame)
        place.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.breaches.setAlignment(Qt.AlignmentFlag.AlignTop)
        place.setWidget(self.breaches)
        lines = self.breaches.heightForWidth(larger(self, _WIDE_PX))
        place.setMinimumHeight(min(lines, larger(self, _LISTED_PX)))
        return place

    def _able(self) -> None:
        self.issue.setEnabled(not self._needs_reason or bool(self.reason.toPlainText().strip()))


def _breach_words(breaches: Sequence[str]) -> str:
    if not breaches:
        return ""
    count = len(breaches)
    lines = [f"• {words}" for words in breaches[:_MOST_SHOWN]]
    more = [f"and {count - _MOST_SHOWN} more"] if count > _MOST_SHOWN else []
    head = f"The audit finds {count} breach{'es' if count != 1 else ''}. It is issued only with a reason:"
    return "\n".join((head, *lines, *more))
