"""The findings panel: what the audit found, in words; choosing one goes there."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QHBoxLayout, QLabel, QListWidget, QListWidgetItem, QPushButton, QVBoxLayout, QWidget

from app.board.clock import moment
from app.finding_words import advice_counts, audit_words, place_name
from app.session import Session
from app.text_size import larger
from app.theme import Theme
from planner.findings import Finding, Weight

_SHOWN = 500
_LEAST_TALL_PX = 128


class FindingsPanel(QWidget):
    """Lists findings, breaches first."""

    chosen = Signal(object)
    """The `Finding` to go to."""

    def __init__(self, theme: Theme, parent: QWidget | None = None, mends: bool = True) -> None:
        super().__init__(parent)
        self.theme = theme
        self._mends = mends
        self._session: Session | None = None
        self._listed: tuple[object, ...] = ()
        self._key = ""
        self.title = QLabel("Audit", objectName="panelTitle")
        self.title.setContentsMargins(14, 9, 8, 3)
        self.title.setWordWrap(True)
        self.quiet = QLabel("", objectName="quiet", wordWrap=True)
        self.quiet.setContentsMargins(14, 0, 12, 8)
        self.mend = QPushButton("Mend the rest", enabled=False)
        self.mend.setToolTip(
            "Move as little as possible so that nothing is broken; what you moved or pinned stays where it is (F7)"
        )
        self.list = QListWidget(accessibleName="Findings of the audit", wordWrap=True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setSelectionMode(QListWidget.SelectionMode.ExtendedSelection)
        self.list.itemClicked.connect(self._choose)
        self.list.itemActivated.connect(self._choose)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(0, 5, 12, 0)
        head.addWidget(self.title, 1)
        head.addWidget(self.mend)
        layout.addLayout(head)
        layout.addWidget(self.quiet)
        layout.addWidget(self.list, 1)
        layout.addStretch(0)
        self.show_session(None)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self.setMinimumHeight(larger(self, _LEAST_TALL_PX))

    def set_theme(self, theme: Theme) -> None:
        """Use another theme."""
        self.theme = theme
        self.show_session(self._session)

    def show_session(self, session: Session | None) -> None:
        """List what was found in a session."""
        self._session = session
        found = () if session is None else session.findings
        breaches = sum(one.weight is Weight.BREACH for one in found)
        planned = session is not None and session.plan is not None
        self.title.setText(_capital(audit_words(found, with_advice=False)) if planned else "Audit")
        self.quiet.setText(_summary(session, found, breaches))
        self.mend.setVisible(self._mends and planned and breaches > 0)
        listed = (self.theme, session and session.loaded, found)
        if listed != self._listed:
            self._listed = listed
            self._fill(found, session)
        self.list.setVisible(bool(found))

    def select(self, key: str) -> None:
        """Mark what was found about an operation, and bring the first of it into view; "" marks nothing."""
        self._key = key
        self._show_marked()

    def _fill(self, found: Sequence[Finding], session: Session | None) -> None:
        """List findings; what was in view stays there, unless some are marked."""
        at = self.list.verticalScrollBar().value()
        self.list.clear()
        for one in sorted(found, key=lambda one: one.weight is not Weight.BREACH)[:_SHOWN]:
            self.list.addItem(self._item(one, session))
        self.list.verticalScrollBar().setValue(at)
        self._show_marked()

    def _show_marked(self) -> None:
        marked = [item for item in self._items() if self._mark(item)]
        if marked:
            self.list.scrollToItem(marked[0], QListWidget.ScrollHint.PositionAtTop)

    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(row) for row in range(self.list.count())]

    def _mark(self, item: QListWidgetItem) -> bool:
        """Mark an item if it is about the selected operation, else take its mark away; say which."""
        ours = bool(self._key) and item.data(Qt.ItemDataRole.UserRole).place == self._key
        item.setSelected(ours)
        return ours

    def _item(self, one: Finding, session: Session | None) -> QListWidgetItem:
        when = f"{moment(session.facts.time, one.slot)}: " if session and one.slot is not None else ""
        mark = "Breach" if one.weight is Weight.BREACH else "Advice"
        words = f"{when}{one.words}" if when else _capital(one.words)
        item = QListWidgetItem(f"{mark} · {place_name(session, one.place)}\n{words}")
        item.setForeground(QColor(self.theme.breach if one.weight is Weight.BREACH else self.theme.advice))
        item.setData(Qt.ItemDataRole.UserRole, one)
        item.setToolTip(one.code)
        return item

    def _choose(self, item: QListWidgetItem) -> None:
        self.chosen.emit(item.data(Qt.ItemDataRole.UserRole))


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _summary(session: Session | None, found: Sequence[Finding], breaches: int) -> str:
    """Return what the findings mean, and what advice is among them; in the title that would take too many lines."""
    if session is None or session.plan is None:
        return "No plan to audit yet."
    means = "Every rule was checked again from the job alone; nothing is broken."
    words = "This plan may not be worked as it stands." if breaches else means
    counts = advice_counts(found)
    return f"{words} {_capital(', '.join(counts))}." if counts else words
