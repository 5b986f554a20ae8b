"""The days on which a shift begins, as seven boxes to tick; the rule itself only where it is more than weekdays."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from app.flow import Flow

_DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def weekdays_of(rule: str) -> frozenset[int] | None:
    """Return the weekdays, 0 Monday, of a rule that says nothing else; None where it is more than that."""
    parts = dict(part.partition("=")[::2] for part in rule.strip().upper().split(";") if part)
    if parts == {"FREQ": "DAILY"}:
        return frozenset(range(7))
    days = [one.strip() for one in parts.get("BYDAY", "").split(",")]
    plain = set(parts) == {"FREQ", "BYDAY"} and parts["FREQ"] == "WEEKLY" and set(days) <= set(_DAYS)
    return frozenset(_DAYS.index(one) for one in days) if plain else None


def rule_of(days: frozenset[int]) -> str:
    """Return the rule of weekdays; "" where there are none."""
    if not days:
        return ""
    return (
        "FREQ=DAILY" if len(days) == len(_DAYS) else f"FREQ=WEEKLY;BYDAY={','.join(_DAYS[n] for n in sorted(days))}"
    )


class WeekDays(QWidget):
    """Ticks for the days of a week, and a field for another rule, which is open where the rule is more."""

    changed = Signal(str)
    """The rule, as it was ticked or typed; "" where no day is ticked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.boxes = tuple(QCheckBox(name) for name in _NAMES)
        self.other = QCheckBox("Other rule", toolTip="Such as every second week: FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TU")
        self.rule = QLineEdit(accessibleName="Rule of the days on which it begins")
        policy = self.rule.sizePolicy()
        policy.setRetainSizeWhenHidden(True)  # nothing below moves when it is opened
        self.rule.setSizePolicy(policy)
        days, more = Flow(), QHBoxLayout()
        for box in self.boxes:
            box.setAccessibleName(f"Begins on {box.text()}")
            box.clicked.connect(lambda _checked: self.changed.emit(rule_of(self._ticked())))
            days.addWidget(box)
        more.addWidget(self.other)
        more.addWidget(self.rule, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 2)
        column.setSpacing(2)
        column.addLayout(days)
        column.addLayout(more)
        self.other.clicked.connect(self._open)
        self.rule.editingFinished.connect(self._typed)
        self.setFocusProxy(self.boxes[0])

    def text(self) -> str:
        """Return the rule that stands there."""
        return self.rule.text().strip() if self.other.isChecked() else rule_of(self._ticked())

    def setText(self, rule: str) -> None:
        """Show a rule; one that is being typed stays."""
        if self.rule.hasFocus() and self.rule.isModified():
            return
        days = weekdays_of(rule)
        self.rule.setText(rule)
        self.rule.setModified(False)
        for number, box in enumerate(self.boxes):
            box.setChecked(days is not None and number in days)
        self.other.setChecked(days is None and bool(rule))
        self._allow()

    def _ticked(self) -> frozenset[int]:
        return frozenset(number for number, box in enumerate(self.boxes) if box.isChecked())

    def _open(self, checked: bool) -> None:
        """Let the rule be typed, beginning from the days ticked; or go back to the days that it has."""
        if checked:
            self.rule.setText(rule_of(self._ticked()))
        self._allow()
        if checked:
            self.rule.setFocus()
            return
        days = weekdays_of(self.rule.text())
        if days is not None:
            self.setText(rule_of(days))
        self.changed.emit(self.text())

    def _allow(self) -> None:
        self.rule.setVisible(self.other.isChecked())
        for box in self.boxes:
            box.setEnabled(not self.other.isChecked())

    def _typed(self) -> None:
        if self.rule.isModified():
            self.rule.setModified(False)
            self.changed.emit(self.rule.text().strip())
