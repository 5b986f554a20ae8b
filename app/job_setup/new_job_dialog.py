"""Asks for what a new job is made of; what can't be taken is told in the dialog, and nothing typed is lost."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QLabel,
    QLineEdit,
    QWidget,
)

from app.dialog import Dialog, field_form
from app.elided_choice import ElidedChoice
from app.job_setup.kinds import Kind, NotReadableError, read
from app.job_setup.new_job import Answers, library_methods, new_job_text
from app.new_file import ask_new_file
from app.plain_buttons import Standard, plain_buttons
from app.text_size import larger
from planner.errors import JobFileError
from planner.jobfile.read import read_job_text
from planner.jobfile.write import save_text

if TYPE_CHECKING:
    from app.window import MainWindow

_WIDE_PX = 460
_TEACHING = (
    "A small job that can be planned at once: one gang, one structure, one element. "
    "Add the rest in the Job set-up view."
)
_FIELDS = (
    ("name", "Name of the job", Kind.TEXT, "", "As it is shown on every sheet"),
    ("place", "Place", Kind.TEXT, "", "Where the job is"),
    ("latitude", "Latitude", Kind.NUMBER, "54.6", "Degrees north; the sun follows from it"),
    ("longitude", "Longitude", Kind.NUMBER, "-2.7", "Degrees east; west is negative"),
    ("zone", "Time zone", Kind.TEXT, "Europe/London", "Clock changes follow from it"),
    ("first_day", "First day", Kind.DATE, "", "Such as 2027-03-22"),
    ("days", "Days", Kind.WHOLE, "28", "How many days the plan may take, 1 to 400"),
    ("low_c", "Low of a day, °C", Kind.NUMBER, "6", "Every day, until you bring a forecast in the Weather view"),
    ("high_c", "High of a day, °C", Kind.NUMBER, "13", "Every day, until you bring a forecast in the Weather view"),
)


class NewJobDialog(Dialog):
    """Its `text` is a job that can be read, once it is accepted."""

    def __init__(self, today: date, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("A new job")
        self.text = ""
        self.fields: dict[str, QLineEdit] = {}
        self.method = ElidedChoice(accessibleName="First element's method")
        for one in library_methods():
            self.method.addItem(one.name, one.id)
        self.faults = QLabel("", objectName="bad", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.buttons = plain_buttons(Standard.Cancel)
        self.make = self.buttons.addButton("&Make it …", QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.accepted.connect(self._try)
        self.buttons.rejected.connect(self.reject)
        self._lay_out(today)

    def _lay_out(self, today: date) -> None:
        layout = self.lines()
        layout.addWidget(QLabel(_TEACHING, objectName="quiet", wordWrap=True))
        form = field_form()
        for name, label, _kind, usual, words in _FIELDS:
            monday = today + timedelta(days=7 - today.weekday())
            field = QLineEdit(monday.isoformat() if name == "first_day" else usual, toolTip=words)
            field.setAccessibleName(label)
            form.addRow(label, field)
            self.fields[name] = field
        form.addRow("First element", self.method)
        layout.addLayout(form)
        layout.addWidget(self.faults)
        layout.addWidget(self.buttons)
        self.setMinimumWidth(larger(self, _WIDE_PX))

    def _try(self) -> None:
        """Accept what makes a job; else say what is wrong."""
        try:
            answers = self._answers()
            text = new_job_text(answers)
            read_job_text(text, "the new job")
        except NotReadableError as error:
            self.faults.setText(str(error))
        except JobFileError as error:
            self.faults.setText(
                "\n".join(_plain(fault.path, fault.found, fault.allowed) for fault in error.faults[:6])
            )
        else:
            self.text = text
            self.accept()

    def _answers(self) -> Answers:
        found: dict[str, Any] = {"method": str(self.method.currentData())}
        for name, label, kind, _usual, _words in _FIELDS:
            try:
                value = read(self.fields[name].text(), kind)
            except NotReadableError as error:
                raise NotReadableError(f"{label}: {error}") from error
            if value is None:
                raise NotReadableError(f"{label}: nothing is typed yet")
            found[name] = value
        if not 1 <= found["days"] <= 400:
            raise NotReadableError("Days: 1 to 400")
        return Answers(**found)


def _plain(path: str, found: str, allowed: str) -> str:
    return f"{path}: found {found}; allowed: {allowed}"[:300]


def ask_new_job(window: MainWindow) -> None:
    """Ask for a new job, write it where the user says, and open it."""
    dialog = NewJobDialog(window.clock().date(), window)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.accepted.connect(lambda: _keep(window, dialog.text))
    dialog.open()


def _keep(window: MainWindow, text: str) -> None:
    start = Path(window.folder) / "new_job.toml"
    path = ask_new_file(window, "Where the new job is kept", start, "Jobs (*.toml)")
    if path is None:
        return
    try:
        save_text(path, text)
    except OSError as error:
        window.tell(f"The new job was not written: {error.strerror or error}")
        return
    window.open_job(path)
