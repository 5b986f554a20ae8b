"""What is recorded of one visit, to be typed and corrected: times, readings, a note."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.layouts import label_of
from app.restyle import restyle
from app.site_record.page import WorkRow
from app.site_record.typed import TypedError, moment_words, read_reading, read_time, time_words
from planner.site_record.revise import Said
from planner.site_record.words import READINGS
from planner.units import SiteTime

_STEP_MIN = 5

_AGAIN = "For work that must be repeated, as where a surface dried back; its gap starts anew"
_AGAIN_OUTSIDE = (
    "Another visit starts now, and now is outside this job's days; `liftgap record --visit 2` takes any time"
)


class EntryForm(QWidget):
    """Fields for one visit. It tells what was typed, and keeps what the user types until the visit changes."""

    saved = Signal(object)
    """What is now said of the visit, a `Said`."""
    repeated = Signal()
    """The visit's operation is done once more, from now on."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._row: WorkRow | None = None
        self._time: SiteTime | None = None
        self.title = QLabel("", objectName="panelTitle", textFormat=Qt.TextFormat.PlainText, wordWrap=True)
        self.started, self.finished = _field("Started, site time"), _field("Finished, site time")
        self.readings = {name: _field(f"{words}, {unit}") for name, (words, unit) in READINGS.items()}
        self.note, self.by = _field("Note"), _field("Noted by: a role")
        self.by.setPlaceholderText("a role, such as foreman")
        self.last = QCheckBox("That was all of it: no further visit is needed")
        self.last.setToolTip("Untick it where the work goes on in another visit")
        self.fault = QLabel("", objectName="bad", textFormat=Qt.TextFormat.PlainText, wordWrap=True)
        self.save = QPushButton("Write into the record", objectName="touchMain")
        self.save.setToolTip("Adds an entry; what was said before stays and is shown as corrected")
        self.save.clicked.connect(self._save)
        self.again = QPushButton("Done again: another visit starts now", objectName="touch")
        self.again.setToolTip(_AGAIN)
        self.again.clicked.connect(self.repeated)
        self.footer = QWidget(objectName="footer")
        """The buttons; they stay in sight while the fields are scrolled."""
        self._lay_out()
        for field in self.fields:
            field.textEdited.connect(lambda _text: self._check())
            field.returnPressed.connect(self._save)
        self.last.toggled.connect(lambda _on: self._check())

    @property
    def fields(self) -> tuple[QLineEdit, ...]:
        """All fields, in order."""
        return (self.started, self.finished, *self.readings.values(), self.note, self.by)

    def show_row(self, row: WorkRow | None, time: SiteTime | None) -> None:
        """Show what the record says of a visit; what is being typed on the same visit stays if it says the same."""
        same = row is not None and self._row is not None and (row.key, row.said) == (self._row.key, self._row.said)
        self._row, self._time = row, time
        self.setEnabled(row is not None)
        self.again.setVisible(row is not None and row.said.finished is not None)
        if same:
            self._check()
            return
        self.title.setText("" if row is None else f"{row.name}, {row.where}")
        said = row.said if row is not None else Said()
        near = row.planned if row is not None else 0
        if time is not None:
            self.started.setText(time_words(time, said.started, near))
            self.finished.setText(time_words(time, said.finished, said.started or near))
        for name, field in self.readings.items():
            field.setText(f"{said.readings[name]:g}" if name in said.readings else "")
        self.note.setText(said.note)
        self.last.setChecked(said.last)
        self.last.setVisible(row is not None and row.count > 1)
        self._check()

    def can_repeat(self, able: bool) -> None:
        """Allow recording that work is begun again now, where now is within the job's days."""
        self.again.setEnabled(able)
        self.again.setToolTip(_AGAIN if able else _AGAIN_OUTSIDE)

    def said(self) -> Said:
        """Return what the fields say; TypedError where one can't be read."""
        if self._row is None or self._time is None:
            return Said()
        started = read_time(self._time, self.started.text(), self._row.planned)
        finished = read_time(self._time, self.finished.text(), started or self._row.planned)
        read = {name: read_reading(name, field.text()) for name, field in self.readings.items()}
        readings = {name: value for name, value in read.items() if value is not None}
        return Said(started, finished, readings, self.note.text().strip(), self.last.isChecked())

    def _check(self) -> None:
        """Say what can't be read, or how the times are read; allow saving what differs from the record."""
        try:
            said = self.said()
        except TypedError as error:
            self._say(str(error), True)
            self.save.setEnabled(False)
            return
        self._say(self._time_words(said), False)
        if said.started is not None and said.finished is not None and said.finished <= said.started:
            self._say("It can't have finished before it started.", True)
        old = self._row.said if self._row is not None else Said()
        order = said.started is None or said.finished is None or said.finished > said.started
        self.save.setEnabled(self._row is not None and said != old and order)

    def _time_words(self, said: Said) -> str:
        if self._time is None:
            return ""
        named = (("started", said.started), ("finished", said.finished))
        return ", ".join(f"{name} {moment_words(self._time, at)}" for name, at in named if at is not None)

    def _say(self, words: str, bad: bool) -> None:
        self.fault.setText(words)
        restyle(self.fault, "bad" if bad else "quiet")

    def _save(self) -> None:
        if self.save.isEnabled():
            self.saved.emit(self.said())

    def _nudge(self, field: QLineEdit, minutes: int) -> None:
        """Move a typed time."""
        if self._time is None or self._row is None:
            return
        try:
            at = read_time(self._time, field.text(), self._row.planned)
        except TypedError:
            return
        if at is not None:
            field.setText(time_words(self._time, at + minutes, self._row.planned))
            self._check()

    # --- parts

    def _lay_out(self) -> None:
        lines = QVBoxLayout(self)
        lines.setContentsMargins(14, 10, 14, 10)
        lines.setSpacing(6)
        times = QGridLayout()
        times.setHorizontalSpacing(6)
        for row, (words, field) in enumerate((("&Started", self.started), ("&Finished", self.finished))):
            times.addWidget(label_of(field, words), row, 0)
            times.addWidget(self._time_row(field), row, 1)
        heads = {name: f"{called.capitalize()} {unit}" for name, (called, unit) in READINGS.items()}
        named = [(heads[name], field) for name, field in self.readings.items()]
        lines.addWidget(self.title)
        lines.addLayout(times)
        lines.addWidget(self.fault)
        rows = (named[:3], named[3:], (("&Note", self.note), ("Noted &by", self.by)))
        for fields in rows:
            lines.addWidget(self._beside(*fields))
        lines.addWidget(self.last)
        buttons = QVBoxLayout(self.footer)
        buttons.setContentsMargins(14, 8, 14, 10)
        buttons.setSpacing(6)
        buttons.addWidget(self.again)  # it comes and goes: what is under the other stays under the pointer
        buttons.addWidget(self.save)

    @staticmethod
    def _beside(*named: tuple[str, QLineEdit]) -> QWidget:
        """Return fields side by side, each under its name."""
        box = QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(2)
        for column, (words, field) in enumerate(named):
            grid.addWidget(label_of(field, words), 0, column)
            grid.addWidget(field, 1, column)
        return box

    def _time_row(self, field: QLineEdit) -> QWidget:
        row = QWidget()
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(6)
        layout.addWidget(field, 1)
        for minutes, sign in ((-_STEP_MIN, "−5"), (_STEP_MIN, "+5")):
            button = QPushButton(sign, objectName="touch", toolTip=f"{sign} minutes")
            button.setAccessibleName(f"{field.accessibleName()} {sign} minutes")
            button.clicked.connect(lambda _on=False, to=field, by=minutes: self._nudge(to, by))
            layout.addWidget(button)
        row.setFocusProxy(field)
        return row


def _field(name: str) -> QLineEdit:
    return QLineEdit(objectName="touch", accessibleName=name, toolTip=name)
