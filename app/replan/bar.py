"""The strip over the replan view: the forecast to stand on, the plan to change, and the time that is now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from datetime import time as clock_time

from PySide6.QtCore import QDate, QDateTime, QLocale, QTime, QTimeZone, Signal
from PySide6.QtWidgets import (
    QDateTimeEdit,
    QPushButton,
    QSpinBox,
    QWidget,
)

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar, label_of
from planner.units import SiteTime


class ReplanBar(QWidget):
    """Choices and buttons; it knows no plan."""

    now_typed = Signal()
    chosen = Signal()
    """Another forecast or base was chosen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.open = QPushButton("&Open a forecast …", toolTip="Bring a new forecast from a file (CSV or JSON)")
        self.forecast = ElidedChoice(accessibleName="Forecast to stand on")
        self.forecast.setToolTip("The forecast on which ways out are looked for")
        self.base = ElidedChoice(accessibleName="Plan to change as little as possible")
        self.base.setToolTip("The plan of which as little as possible is to change")
        for box in (self.forecast, self.base):
            box.keep_to(22)
            box.activated.connect(lambda _index: self.chosen.emit())
        self.now = QDateTimeEdit(accessibleName="Now: work begun before stays")
        self.now.setLocale(QLocale.c())
        self.now.setTimeZone(QTimeZone.utc())
        self.now.setDisplayFormat("ddd d MMM yyyy HH:mm")
        self.now.setCalendarPopup(True)
        self.now.setToolTip("Work begun before this time, or so recorded, stays as it was")
        self.now.dateTimeChanged.connect(lambda _moment: self.now_typed.emit())
        self.seconds = QSpinBox(accessibleName="Seconds for each way out", minimum=1, maximum=600, suffix=" s each")
        self.seconds.setValue(6)
        self.seconds.setToolTip("How long to look for each way out")
        self.find = QPushButton("&Find ways out", objectName="main", toolTip="What breaks, and what can be done")
        self.stop = QPushButton("Stop", toolTip="Stop and keep what was found")
        self.status = ElidedLabel("status")
        self.status.setAccessibleName("How replanning goes")
        self._lay_out()

    def show_choices(
        self, forecasts: Sequence[tuple[str, object]], bases: Sequence[tuple[str, object]], newest: bool
    ) -> None:
        """Offer forecasts and plans by their words; what is chosen stays, but for the `newest` forecast."""
        kept, base = _place(self.forecast, forecasts), _place(self.base, bases)
        for box, offered in ((self.forecast, forecasts), (self.base, bases)):
            box.clear()
            for words, one in offered:
                box.addItem(words, one)
        self.forecast.setCurrentIndex(len(forecasts) - 1 if newest or not kept else kept)
        self.base.setCurrentIndex(min(base, len(bases) - 1))

    def set_days(self, time: SiteTime) -> None:
        """Let the time be one of the job's days."""
        blocked = self.now.blockSignals(True)
        self.now.setDateTimeRange(_shown(time.local(0)), _shown(time.local(time.horizon)))
        self.now.blockSignals(blocked)

    def set_now(self, time: SiteTime, slot: float) -> None:
        """Show a time, without taking it as typed."""
        blocked = self.now.blockSignals(True)
        self.now.setDateTime(_shown(time.local(slot)))
        self.now.blockSignals(blocked)

    def now_slot(self, time: SiteTime) -> int:
        """Return the first slot from the time shown on."""
        shown = self.now.dateTime()
        day, clock = shown.date(), shown.time()
        wall = datetime.combine(date(day.year(), day.month(), day.day()), clock_time(clock.hour(), clock.minute()))
        return max(0, min(time.slot_up(time.wall(wall)), time.horizon))

    def _lay_out(self) -> None:
        row = Flow()
        for words, widget in (("On fore&cast", self.forecast), ("&Base", self.base), ("&Now", self.now)):
            row.addWidget(label_of(widget, words))
            row.addWidget(widget)
            if widget is self.forecast:
                row.addWidget(self.open)
        for button in (self.seconds, self.find, self.stop):
            row.addWidget(button)
        fill_bar(self, row, self.status)


def _place(box: ElidedChoice, offered: Sequence[tuple[str, object]]) -> int:
    """Return where the words that a box shows stand among others; 0 for nowhere."""
    words = [words for words, _ in offered]
    return words.index(box.currentText()) if box.currentText() in words else 0


def _shown(local: datetime) -> QDateTime:
    """Return a wall time as Qt shows it: in UTC, which skips and repeats no hour."""
    return QDateTime(QDate(local.year, local.month, local.day), QTime(local.hour, local.minute), QTimeZone.utc())
