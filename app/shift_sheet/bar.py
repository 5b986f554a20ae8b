"""The strip over the sheet: which day and gang, and where it is printed to."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QWidget

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar, label_of
from app.shift_sheet.turns import Turn
from planner.audit.wording import day_words
from planner.model import Job
from planner.sheets.words import clean


class SheetBar(QWidget):
    """Choices and buttons; it says what was chosen and keeps nothing else."""

    turn_chosen = Signal(object)
    """The `Turn` that the user chose."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.earlier = QPushButton("‹ &Earlier shift", toolTip="This gang's shift before (Alt+Left)")
        self.later = QPushButton("&Later shift ›", toolTip="This gang's next shift (Alt+Right)")
        self.earlier.setShortcut("Alt+Left")
        self.later.setShortcut("Alt+Right")
        self.day = ElidedChoice(accessibleName="Day", toolTip="The day on which the shift starts")
        self.gang = ElidedChoice(accessibleName="Gang", toolTip="The gang whose sheet is shown")
        for box, letters in ((self.day, 12), (self.gang, 26)):
            box.keep_to(letters)
            box.setMaxVisibleItems(20)
            box.activated.connect(lambda _index: self._choose())
        self.as_text = QPushButton("As &text", checkable=True, toolTip="Words in rows in place of the printed page")
        self.day_print = QPushButton("&All gangs of the day …", toolTip="The day's sheets of all gangs in one PDF")
        self.print = QPushButton("&Print to PDF …", objectName="main", toolTip="This sheet as an A4 PDF")
        self.words = ElidedLabel("status")
        self.words.setAccessibleName("What is on the sheet")
        self._lay_out()

    def set_job(self, job: Job) -> None:
        """List the job's days and gangs."""
        self.day.clear()
        for day in job.time.each_day():
            self.day.addItem(day_words(day), day)
        self.gang.clear()
        for gang in job.gangs:
            self.gang.addItem(clean(gang.name, 60), gang.id)

    def show_turn(self, turn: Turn | None, turns: Sequence[Turn]) -> None:
        """Show which day and gang the sheet is of, and which gangs work on that day."""
        working = {one.gang for one in turns if turn is not None and one.day == turn.day}
        for index in range(self.gang.count()):
            name = str(self.gang.itemText(index)).removesuffix(_NO_WORK)
            off = turn is not None and self.gang.itemData(index) not in working
            self.gang.setItemText(index, f"{name}{_NO_WORK}" if off else name)
        if turn is not None:
            self.day.setCurrentIndex(_index(self.day, turn.day))
            self.gang.setCurrentIndex(_index(self.gang, turn.gang))

    def enable(self, able: bool, has_work: bool, day_has_work: bool) -> None:
        """Allow choosing, and printing where there is something to print."""
        for widget in (self.day, self.gang, self.as_text):
            widget.setEnabled(able)
        self.print.setEnabled(able and has_work)
        self.day_print.setEnabled(able and day_has_work)

    def _choose(self) -> None:
        day, gang = self.day.currentData(), self.gang.currentData()
        if isinstance(day, date) and isinstance(gang, str):
            self.turn_chosen.emit(Turn(day, gang))

    def _lay_out(self) -> None:
        row = Flow()
        for words, box in (("&Day", self.day), ("&Gang", self.gang)):
            row.addWidget(label_of(box, words))
            row.addWidget(box)
        for button in (self.earlier, self.later):
            row.addWidget(button)
        for button in (self.as_text, self.day_print, self.print):
            row.addWidget(button)
        fill_bar(self, row, self.words)


_NO_WORK = " (no work)"


def _index(box: QComboBox, value: object) -> int:
    """Return where a value is in a list; Qt compares Python dates as its own, so this is done here."""
    return next((index for index in range(box.count()) if box.itemData(index) == value), -1)
