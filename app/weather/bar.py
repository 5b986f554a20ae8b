"""The strip over the weather chart: what can be done with the forecast, whose limits are drawn, and its source."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QUndoStack
from PySide6.QtWidgets import QPushButton, QWidget

from app.elided_choice import ElidedChoice
from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar, label_of
from app.weather.chart_data import ChosenLimits

_NOTHING = ChosenLimits()


class WeatherBar(QWidget):
    """Buttons, the choice of limits, and two lines of words."""

    limits_chosen = Signal(object)
    """The `ChosenLimits` to draw."""

    def __init__(self, undo: QUndoStack, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.open = QPushButton("&Open a forecast …", toolTip="See another issue beside the plan's (CSV or JSON)")
        self.ask = QPushButton("&Ask a service …", toolTip="Fetch the site's forecast; only when you say so")
        self.shift = QPushButton("&Warmer or colder …", toolTip="Shift a stretch of the forecast")
        self.undo, self.redo = QPushButton("Undo"), QPushButton("Redo")
        self.save = QPushButton("&Save as CSV …", toolTip="Write the forecast shown as an hourly sheet")
        self.use = QPushButton("Use &for the plan", objectName="main")
        self.use.setToolTip("The plan is checked against this forecast, and Plan (F5) plans on it")
        self.limits = ElidedChoice(accessibleName="Limits drawn", toolTip="Whose limits are drawn in the chart")
        self.limits.keep_to(25)
        self.source = ElidedLabel("status")
        self.source.setAccessibleName("Source of the forecast")
        self.apart = ElidedLabel("status")
        self.apart.setAccessibleName("Difference to the plan's forecast")
        self._operation: ChosenLimits | None = None
        self._products: tuple[ChosenLimits, ...] = ()
        self._add_undo(undo)
        self._lay_out()
        self._fill(0)
        self.limits.activated.connect(lambda _index: self.limits_chosen.emit(self.chosen))

    @property
    def chosen(self) -> ChosenLimits:
        """The limits chosen in the list."""
        found = self.limits.currentData(Qt.ItemDataRole.UserRole)
        return found if isinstance(found, ChosenLimits) else _NOTHING

    def set_products(self, products: Sequence[ChosenLimits]) -> None:
        """List these products; nothing is chosen."""
        self._operation, self._products = None, tuple(products)
        self._fill(0)

    def set_operation(self, operation: ChosenLimits | None) -> None:
        """Put the selected operation first in the list and choose it; None takes it away."""
        chosen = self.chosen
        self._operation = operation
        rest = 0 if chosen not in self._products else self._products.index(chosen) + 1
        self._fill(1 if operation else rest)

    def _fill(self, index: int) -> None:
        self.limits.clear()
        self.limits.addItem("none", _NOTHING)
        if self._operation is not None:
            self.limits.addItem(self._operation.words, self._operation)
        for product in self._products:
            self.limits.addItem(product.words, product)
        self.limits.setCurrentIndex(index)

    def _add_undo(self, undo: QUndoStack) -> None:
        for button, keys, do, able, words in (
            (self.undo, QKeySequence("Ctrl+Z"), undo.undo, undo.canUndoChanged, undo.undoTextChanged),
            (self.redo, QKeySequence("Ctrl+Shift+Z"), undo.redo, undo.canRedoChanged, undo.redoTextChanged),
        ):
            button.setEnabled(False)
            button.setShortcut(keys)
            button.clicked.connect(do)
            able.connect(button.setEnabled)
            button.setToolTip(f"{button.text()} a change of the forecast")
            words.connect(lambda told, button=button: button.setToolTip(told or f"{button.text()} a change"))

    def _lay_out(self) -> None:
        row = Flow()
        for widget in (
            self.open,
            self.ask,
            self.shift,
            self.undo,
            self.redo,
            label_of(self.limits, "&Limits drawn"),
            self.limits,
            self.save,
            self.use,
        ):
            row.addWidget(widget)
        fill_bar(self, row, self.source, self.apart)
        self.apart.hide()
