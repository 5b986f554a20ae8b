"""The strip over the risk view: which weathers, how many, how wrong the forecast may be."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QPushButton, QSpinBox, QWidget

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar, label_of
from app.risk.working import RiskAsk

_ERRORS = ((1.0, "as usual"), (0.5, "half the usual"), (1.5, "half as much again"), (2.0, "twice the usual"))
_MADE = "made about the plan's forecast"
MOST_MEMBERS = 5000


class RiskBar(QWidget):
    """Choices and buttons."""

    marked = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.source = ElidedChoice(accessibleName="Weathers", toolTip="Where the many weathers come from")
        self.source.addItem(_MADE, None)
        self.source.keep_to(24)
        self.open = QPushButton("&Members from a file …")
        self.open.setToolTip("An ensemble forecast with members of its own (JSON)")
        self.members = QSpinBox(accessibleName="How many weathers", minimum=10, maximum=MOST_MEMBERS, singleStep=100)
        self.members.setValue(1000)
        self.members.setToolTip("More members, smaller sampling error, longer to work out")
        self.errors = QComboBox(accessibleName="Errors of the forecast")
        for factor, words in _ERRORS:
            self.errors.addItem(words, factor)
        self.errors.setToolTip("Usual: 0.9 °C at issue, 0.3 °C more a day, at most 4 °C (common practice, no source)")
        self.seed = QSpinBox(accessibleName="Seed", maximum=999_999, value=1)
        self.seed.setToolTip("Another seed makes other weathers; the same seed always the same")
        self.work = QPushButton("&Work out", objectName="main", toolTip="How sure the plan shown is")
        self.mark = QCheckBox("Mark the least sure on the &board")
        self.mark.setToolTip("Gaps and reopenings that hold in fewer than four of five members")
        self.status = ElidedLabel("status")
        self.status.setAccessibleName("What the chances are of")
        self.mark.toggled.connect(self.marked)
        self.source.activated.connect(lambda _index: self._able())
        self._lay_out()

    @property
    def ask(self) -> RiskAsk:
        """What is asked."""
        file = self.source.currentData()
        return RiskAsk(
            self.members.value(),
            self.seed.value(),
            float(self.errors.currentData()),
            file if isinstance(file, Path) else None,
        )

    def add_file(self, path: Path) -> None:
        """Offer the members in a file, and choose them."""
        self.source.addItem(path.name, path)
        self.source.setCurrentIndex(self.source.count() - 1)
        self._able()

    def forget_files(self) -> None:
        """Offer no file any more."""
        while self.source.count() > 1:
            self.source.removeItem(1)
        self._able()

    def _able(self) -> None:
        """A file has its own members and errors."""
        made = self.source.currentData() is None
        for widget in (self.members, self.errors, self.seed):
            widget.setEnabled(made)

    def _lay_out(self) -> None:
        row = Flow()
        row.addWidget(label_of(self.source, "Wea&thers"))
        row.addWidget(self.source)
        row.addWidget(self.open)
        for words, widget in (("How man&y", self.members), ("E&rrors", self.errors), ("See&d", self.seed)):
            row.addWidget(label_of(widget, words))
            row.addWidget(widget)
        for button in (self.work, self.mark):
            row.addWidget(button)
        fill_bar(self, row, self.status)
