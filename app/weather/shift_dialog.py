"""The form that makes a stretch of the forecast warmer or colder."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QLabel,
    QRadioButton,
    QWidget,
)

from app.board.clock import DAYS, MONTHS
from app.dialog import Dialog, field_form
from app.plain_buttons import Standard, plain_buttons
from app.session import Session
from app.weather.snapshot import Shift
from app.weather.time_words import hour_words, index_at, next_weekday_evening
from planner.weather.series import HourlySeries

_THURSDAY, _EVENING_H = 3, 20


class HourChoice(QWidget):
    """An hour of a series, as a day and a time of the site's clock."""

    def __init__(self, series: HourlySeries, zone: ZoneInfo, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._series, self._zone = series, zone
        self.day = QComboBox(accessibleName=f"{name}, day")
        self.hour = QComboBox(accessibleName=f"{name}, time of day")
        first, last = (moment.astimezone(zone).date() for moment in (series.start, series.last))
        for number in range((last - first).days + 1):
            day = first + timedelta(days=number)
            self.day.addItem(f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}", day)
        for hour in range(24):
            self.hour.addItem(f"{hour:02d}:00", hour)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.day, 1)
        layout.addWidget(self.hour)
        self.setFocusProxy(self.day)

    @property
    def index(self) -> int:
        """The index of the hour, kept inside the series."""
        day = self.day.currentData()
        local = datetime(day.year, day.month, day.day, int(self.hour.currentData()), tzinfo=self._zone)
        return min(self._series.hours - 1, max(0, index_at(self._series, local)))

    def choose(self, index: int) -> None:
        """Show the hour at `index`."""
        local = self._series.hour(index).astimezone(self._zone)
        first = self._series.start.astimezone(self._zone).date()
        self.day.setCurrentIndex((local.date() - first).days)
        self.hour.setCurrentIndex(local.hour)


class ShiftDialog(Dialog):
    """Asks from when, until when and by how much the air is to be warmer or colder."""

    def __init__(
        self, series: HourlySeries, zone: ZoneInfo, first: int, last: int, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._series, self._zone = series, zone
        self.setWindowTitle("Warmer or colder")
        self.by_k = QDoubleSpinBox(minimum=0.5, maximum=25.0, singleStep=0.5, decimals=1, value=3.0, suffix=" °C")
        self.by_k.setAccessibleName("By how many degrees")
        self.way = QComboBox(accessibleName="Colder or warmer")
        self.way.addItem("colder", -1.0)
        self.way.addItem("warmer", 1.0)
        self.start = HourChoice(series, zone, "From")
        self.end = HourChoice(series, zone, "Until")
        self.start.choose(first)
        self.end.choose(last)
        self.keep_dew = QRadioButton("Keep the dew point: the air holds the same water", checked=True)
        self.keep_humidity = QRadioButton("Keep the relative humidity")
        self.words = QLabel("", objectName="quiet", wordWrap=True)
        self.words.setMinimumWidth(380)
        self.buttons = plain_buttons(Standard.Ok, Standard.Cancel)
        self.buttons.button(Standard.Ok).setText("Change the forecast")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self._lay_out()
        for box in (self.way, self.start.day, self.start.hour, self.end.day, self.end.hour):
            box.currentIndexChanged.connect(self._say)
        self.by_k.valueChanged.connect(self._say)
        self._say()
        self.by_k.setFocus()

    def _lay_out(self) -> None:
        amount = QHBoxLayout()
        amount.setSpacing(8)
        amount.addWidget(self.by_k)
        amount.addWidget(self.way, 1)
        form = field_form()
        form.addRow("The air is", amount)
        form.addRow("from", self.start)
        form.addRow("until", self.end)
        form.addRow("Moisture", self.keep_dew)
        form.addRow("", self.keep_humidity)
        layout = self.lines()
        layout.addLayout(form)
        layout.addWidget(self.words)
        layout.addWidget(self.buttons)

    @property
    def shift(self) -> Shift:
        """What was asked for."""
        by_k = self.by_k.value() * float(self.way.currentData())
        return Shift(self.start.index, self.end.index, by_k, self.keep_dew.isChecked())

    def _say(self) -> None:
        shift = self.shift
        hours = shift.last - shift.first + 1
        self.buttons.button(Standard.Ok).setEnabled(hours > 0)
        if hours <= 0:
            self.words.setText("The end comes before the beginning.")
            return
        first, last = (hour_words(self._series, index, self._zone) for index in (shift.first, shift.last))
        change = f"{hours} hours change" if hours != 1 else "1 hour changes"
        self.words.setText(f"{change}, {first} to {last}.")


def shift_words(shift: Shift, series: HourlySeries, zone: ZoneInfo) -> str:
    """Return what a shift does, for the undo list."""
    way = "colder" if shift.by_k < 0 else "warmer"
    return f"{abs(shift.by_k):g} °C {way} from {hour_words(series, shift.first, zone)}"


def usual_stretch(session: Session, series: HourlySeries, row: int) -> tuple[int, int]:
    """Return the next Thursday evening (after the row chosen, or the first work) to the end of the job.

    Where no Thursday is left, all hours from that row on.
    """
    time = session.facts.time
    after = series.hour(row) if row > 0 else time.local(session.facts.span[0])
    first = index_at(series, next_weekday_evening(after, _THURSDAY, _EVENING_H, time.zone))
    last = min(max(0, index_at(series, time.local(time.horizon))), series.hours - 1)
    return (max(0, first), last) if first < last else (min(max(0, row), last), last)
