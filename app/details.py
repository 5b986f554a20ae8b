"""The details panel: the selected operation in words and gauges, or what to do when nothing is selected."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.details_words import sections, to_html
from app.gauges import Gauges
from app.layouts import EDGE_PX
from app.session import Session
from app.tasks import Asker
from planner.audit.explain import Explanation

_NOTHING = (
    "Select a bar to see when and why it stands where it does: click it, or move with the arrow keys. "
    "The band after a bar is its gap: the next layer goes on while the band is full, and not after its post."
)


class DetailsPanel(QWidget):
    """Shows one operation; asks for the reasons in a thread and shows them when they come."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self.session: Session | None = None
        self.key: str | None = None
        self._why: Explanation | None = None
        self.asker = Asker(self)
        self.asker.answered.connect(self._answered)
        self.asker.failed.connect(self._failed)
        self.title = QLabel("", objectName="job", wordWrap=True)
        self.where = QLabel("", objectName="quiet", wordWrap=True)
        self.pin = QPushButton("Pin here", enabled=False)
        self.pin.setToolTip("Planning leaves what is pinned where it is (P on the board)")
        self.more = QPushButton("Change …", enabled=False)
        self.more.setToolTip("Another gang, another way of doing it, its visits (Menu key on the board)")
        self.gauges = Gauges(kit)
        self.words = QTextBrowser(accessibleName="Details of the selected operation")
        self.words.setOpenLinks(False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 10, 0, 0)
        layout.setSpacing(2)
        for label in (self.title, self.where):
            label.setContentsMargins(14, 0, 12, 0)
            layout.addWidget(label)
        buttons = QHBoxLayout()
        buttons.setContentsMargins(14, 6, 12, 4)
        buttons.setSpacing(8)
        for button in (self.pin, self.more):
            buttons.addWidget(button)
        buttons.addStretch(1)
        layout.addLayout(buttons)
        layout.addWidget(self.gauges)
        layout.addWidget(self.words, 1)
        self.words.document().setDocumentMargin(EDGE_PX - 1)
        self.setAccessibleName("Details")
        self.setFocusProxy(self.words)
        self._render()

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.kit = kit
        self.gauges.set_kit(kit)
        self._render()

    def show_operation(self, session: Session | None, key: str | None) -> None:
        """Show an operation of a session (or none) and look for what holds it."""
        self.session, self.key, self._why = session, key, None
        self.asker.forget()
        if session is not None and key and session.plan is not None:
            self.asker.ask(lambda: session.explain(key))
        self._render()

    def show_live(self, session: Session) -> None:
        """Show the times of the same operation while it is dragged; what holds it is looked for when it is let go."""
        self.session, self._why = session, None
        self.asker.forget()
        self._render()

    def _answered(self, why: Explanation | None) -> None:
        self._why = why
        self._render()

    def _failed(self, error: Exception) -> None:
        self._render()

    def _render(self) -> None:
        operation = self.session.operation(self.key) if self.session and self.key else None
        for part in (self.where, self.pin, self.more):
            part.setVisible(operation is not None)
        if self.session is None or operation is None or self.key is None:
            self.title.setText("Nothing selected")
            self.where.setText("")
            self.gauges.hide()
            self.words.setHtml(f'<p style="color:{self.kit.theme.soft}">{_NOTHING}</p>')
            return
        row = self.session.facts.element_of(self.key)
        self.title.setText(operation.name)
        self.where.setText(row.title if row else operation.key)
        self.where.setToolTip(f"In the job's file: {operation.key}")
        tails = row.tails if row else ()
        into = [tail for tail in tails if tail.before == self.key]
        out = [tail for tail in tails if tail.after == self.key]
        self.gauges.show_gaps(self.session.facts, (*into, *out))
        found = sections(self.session, self.key, self._why, self.asker.busy)
        self.words.setHtml(to_html(found, self.kit.theme))
