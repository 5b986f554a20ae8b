"""The strip over the site record: the day and the gang, and what can be done with the whole record."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar
from app.site_record.page import DayPage
from planner.audit.wording import day_words
from planner.model import Job
from planner.sheets.words import clean

_ALL = "All gangs"


class RecordBar(QWidget):
    """Keeps which day and gang are wanted; None stands for today, and for all gangs."""

    day_chosen = Signal(object)
    gang_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.wanted_day: date | None = None
        self.wanted_gang: str | None = None
        self._days: tuple[date | None, date | None] = (None, None)
        self.day = QPushButton("Today", objectName="touch", toolTip="Back to today")
        self.earlier = QPushButton("‹ Earlier", objectName="touch", toolTip="The day with work before")
        self.later = QPushButton("Later ›", objectName="touch", toolTip="The next day with work")
        self.gang = ElidedChoice(objectName="touch", accessibleName="Gang", toolTip="Whose work is shown")
        self.gang.keep_to(18)
        self.take_back = QPushButton("Take entry back", objectName="touch")
        self.take_back.setToolTip("The entry picked in the list below no longer counts; it stays in the history")
        self.rest = QPushButton("Plan the rest", objectName="touchMain")
        self.rest.setToolTip("Plan again from now: done and begun work stays, as little as possible moves")
        self.shown = QLabel("", objectName="job")
        self.words = ElidedLabel("status")
        self.words.setAccessibleName("How far the day has come")
        self._connect()
        self._lay_out()

    @property
    def day_words(self) -> str:
        """The day shown."""
        return self.shown.text()

    def set_job(self, job: Job) -> None:
        """Begin with today, and list the job's gangs."""
        self.wanted_day = self.wanted_gang = None
        self.gang.clear()
        self.gang.addItem(_ALL, None)
        for gang in job.gangs:
            self.gang.addItem(clean(gang.name, 60), gang.id)

    def can_be_today(self, able: bool) -> None:
        """Allow going back to today, where that is a day of the job."""
        self.day.setEnabled(able)
        self.day.setToolTip("Back to today" if able else "Today is outside this job's days")

    def show_page(self, page: DayPage) -> None:
        """Say which day is shown and how far it has come."""
        self.shown.setText(day_words(page.day))
        self._days = (page.last_day, page.next_day)
        self.earlier.setEnabled(page.last_day is not None)
        self.later.setEnabled(page.next_day is not None)
        self.words.setText(page.summary)

    def _connect(self) -> None:
        self.day.clicked.connect(lambda: self._go(None))
        self.earlier.clicked.connect(lambda: self._go(self._days[0]))
        self.later.clicked.connect(lambda: self._go(self._days[1]))
        self.gang.activated.connect(lambda _index: self._pick_gang())

    def _go(self, day: date | None) -> None:
        self.wanted_day = day
        self.day_chosen.emit(day)

    def _pick_gang(self) -> None:
        chosen = self.gang.currentData()
        self.wanted_gang = chosen if isinstance(chosen, str) else None
        self.gang_chosen.emit(self.wanted_gang)

    def _lay_out(self) -> None:
        row = Flow()
        for widget in (self.earlier, self.day, self.later, self.shown, self.gang):
            row.addWidget(widget)
        for widget in (self.take_back, self.rest):
            row.addWidget(widget)
        fill_bar(self, row, self.words)
