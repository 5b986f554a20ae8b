"""The strip over the board that says what is left out, and lets that be chosen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from app.board.clock import day
from app.board.facts import Facts
from app.board.filters import NO_FILTER, Filter, elements_asked_for
from app.elided_choice import ElidedChoice

_LEAST_LETTERS = 4


class FilterBar(QFrame):
    """Hidden while nothing is left out and nobody is choosing."""

    chosen = Signal(object)
    """The `Filter` that holds from now on."""
    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="seek")
        self._facts: Facts | None = None
        self._midnights: tuple[int, ...] = ()
        self.gang = self._box("Gang", "Only bars of this gang")
        self.structure = self._box("Structure", "Only elements of this structure")
        self.closure = self._box("Closure", "Only bars in this closure")
        self.first = self._box("From", "Only work on this day or later")
        self.last = self._box("Until", "Only work on this day or before")
        self.says = QLabel("", accessibleName="What the filter leaves", toolTip="Elements left")
        self.clear = QPushButton("Show all", toolTip="Take the filter off and close this (Esc)")
        self.clear.clicked.connect(self.clear_filter)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 5, 12, 5)
        self.title = QLabel("Filter", objectName="panelTitle")
        layout.addWidget(self.title)
        for box in self.boxes:
            layout.addWidget(box, 1)
        layout.addWidget(self.says)
        layout.addWidget(self.clear)
        self.hide()

    @property
    def boxes(self) -> tuple[QComboBox, ...]:
        """The fields, from left to right."""
        return self.gang, self.structure, self.closure, self.first, self.last

    @property
    def filter(self) -> Filter:
        """What is chosen."""
        first, last = self.first.currentData(), self.last.currentData()
        return Filter(
            self.gang.currentData(),
            self.structure.currentData(),
            self.closure.currentData(),
            None if first is None else self._midnights[first],
            None if last is None else self._midnights[last + 1],
        )

    def open_bar(self) -> None:
        """Show the strip and let it take the keys."""
        self.show()
        self.gang.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def clear_filter(self) -> None:
        """Leave nothing out any more, and put the strip away."""
        for box in self.boxes:
            box.blockSignals(True)
            box.setCurrentIndex(0)
            box.blockSignals(False)
        self.hide()
        self._choose()
        self.closed.emit()

    def show_facts(self, facts: Facts) -> None:
        """Offer the gangs, structures, closures and days of these facts; what was chosen stays where it is there."""
        same = self._facts is not None and facts.gangs is self._facts.gangs
        self._facts = facts
        if same:
            self._tell()
            return
        time = facts.time
        self._midnights = tuple(time.slot_of(time.midnight(one)) for one in time.each_day(after=1))
        days = [(day(time, slot), number) for number, slot in enumerate(self._midnights[:-1])]
        strips = {one.id: one for lane in facts.lanes for one in lane.closures}
        self._fill(self.gang, "any gang", [(gang.name, gang.number) for gang in facts.gangs])
        self._fill(self.structure, "any structure", [(row.title, row.id) for row in facts.rows])
        closures = [(f"{one.name}, {day(time, one.start)}", one.id) for one in strips.values()]
        self._fill(self.closure, "any closure", closures)
        self._fill(self.first, "from any day", [(f"from {words}", number) for words, number in days])
        self._fill(self.last, "to any day", [(f"to {words}", number) for words, number in days])
        self._tell()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.clear_filter()
        else:
            super().keyPressEvent(event)

    def _box(self, name: str, tip: str) -> QComboBox:
        box = ElidedChoice(accessibleName=name, toolTip=tip)
        box.keep_to(_LEAST_LETTERS)
        box.currentIndexChanged.connect(self._choose)
        return box

    def _fill(self, box: QComboBox, anything: str, entries: Sequence[tuple[str, object]]) -> None:
        kept = box.currentData()
        box.blockSignals(True)
        box.clear()
        box.addItem(anything, None)
        for words, value in entries:
            box.addItem(words, value)
        box.setCurrentIndex(max(0, box.findData(kept)) if kept is not None else 0)
        box.blockSignals(False)

    def _choose(self) -> None:
        self._tell()
        self.chosen.emit(self.filter)

    def _tell(self) -> None:
        """Say how many rows are left, and show from afar that a filter is on."""
        on = self.filter != NO_FILTER
        total = sum(len(group.children) for group in self._facts.rows) if self._facts else 0
        left = len(elements_asked_for(self._facts, self.filter)) if self._facts else 0
        self.title.setText("Filter on" if on else "Filter")
        self.says.setText(f"{left} of {total}" if on else "")
        if self.property("on") is not on:
            self.setProperty("on", on)
            self.style().unpolish(self)
            self.style().polish(self)
