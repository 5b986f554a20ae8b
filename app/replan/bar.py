"""The strip over the replan view: the forecast to stand on, the plan to change, and the time that is now."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QSpinBox, QWidget

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar, label_of
from app.moment_field import MomentField


class ReplanBar(QWidget):
    """Choices and buttons; it knows no plan."""

    find: QPushButton  # type: ignore[assignment]  # Qt's own method of this name is not used here
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
        self.now = MomentField(
            "Now: work begun before stays",
            "Work begun before this time, or so recorded, stays as it was. Type 8 Apr 12:00, or 12:00 for that day",
        )
        self.seconds = QSpinBox(accessibleName="Seconds for each way out", minimum=1, maximum=600, suffix=" s each")
        self.seconds.setValue(6)
        self.seconds.setToolTip("How long to look for each way out; twice as long for that by any means")
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
