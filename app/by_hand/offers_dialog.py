"""The dialog in which another gang, or another way of doing an operation, is chosen by what would come of it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QWidget,
)

from app.by_hand.offers import Effect, effect, offers
from app.dialog import Dialog
from app.plain_buttons import Standard, plain_buttons
from app.session import Session
from app.tasks import Asker
from app.theme import Theme

_EFFECT = Qt.ItemDataRole.UserRole


class OffersDialog(Dialog):
    """Shows each offer with its effect, worked out in a thread."""

    taken = Signal(object)
    """The `Effect` that was chosen."""

    def __init__(self, session: Session, key: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        operation = session.operation(key)
        row = session.facts.element_of(key)
        self.theme = theme
        self.setWindowTitle("Another gang or way")
        self.open_at(560, 420)
        self.title = QLabel(operation.name if operation else key, objectName="job", wordWrap=True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.where = QLabel(f"{row.title if row else key}. All else stays where it is.", objectName="quiet")
        self.where.setTextFormat(Qt.TextFormat.PlainText)
        self.where.setWordWrap(True)
        self.list = QListWidget(accessibleName="Gangs and ways, with what would come of each", wordWrap=True)
        self.list.itemActivated.connect(self._take)
        self.list.currentItemChanged.connect(self._look)
        self.take = QPushButton("Take it", objectName="main", enabled=False)
        self.take.setToolTip("Change the plan on the board; Ctrl+Z takes it back")
        buttons = plain_buttons(Standard.Cancel)
        buttons.addButton(self.take, QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(lambda: self._take(self.list.currentItem()))
        buttons.rejected.connect(self.reject)
        layout = self.lines()
        for widget in (self.title, self.where, self.list, buttons):
            layout.addWidget(widget)
        self.asker = Asker(self)
        self.asker.answered.connect(self._show)
        self.asker.failed.connect(self._failed)
        self.finished.connect(lambda _code: self.asker.close())
        self.list.addItem(self._plain("Working out what would come of each …"))
        self.asker.ask(lambda: tuple(effect(session, offer) for offer in offers(session, key)))

    def _show(self, effects: tuple[Effect, ...]) -> None:
        self.list.clear()
        gangs = [one for one in effects if one.offer.gang is not None]
        ways = [one for one in effects if one.offer.gang is None]
        for title, group in (("Gang", gangs), ("Way of doing it", ways)):
            if group:
                self.list.addItem(self._plain(title))
            for one in sorted(group, key=lambda one: (not one.offer.standing, len(one.new))):
                self.list.addItem(self._item(one))
        if len(gangs) < 2 and not ways:
            self.list.addItem(self._plain("No other gang has the skill, and the job offers no other way."))
        else:
            self.list.setCurrentRow(1)
        self.list.setFocus()

    def _plain(self, words: str) -> QListWidgetItem:
        item = QListWidgetItem(words)
        item.setFlags(Qt.ItemFlag.NoItemFlags)
        item.setForeground(QColor(self.theme.soft))
        return item

    def _item(self, one: Effect) -> QListWidgetItem:
        item = QListWidgetItem("\n".join((one.offer.name, *one.words)))
        item.setData(_EFFECT, one)
        if one.new:
            item.setForeground(QColor(self.theme.breach))
        return item

    def _look(self, item: QListWidgetItem | None) -> None:
        one = item.data(_EFFECT) if item is not None else None
        self.take.setEnabled(isinstance(one, Effect) and not one.offer.standing)

    def _take(self, item: QListWidgetItem | None) -> None:
        one = item.data(_EFFECT) if item is not None else None
        if isinstance(one, Effect) and not one.offer.standing:
            self.taken.emit(one)
            self.accept()

    def _failed(self, error: Exception) -> None:
        self.list.clear()
        self.list.addItem(self._plain(f"It could not be worked out: {error}"))
