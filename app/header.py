"""The strip over the board: the job, how its plan stands, and what to plan for."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QProgressBar, QPushButton, QSpinBox, QWidget

from app.aims_choice import AimsBox
from app.elided_label import ElidedLabel
from app.layouts import label_of
from app.plan_for import PlanFor
from app.text_size import larger
from app.view_switch import ViewSwitch

_UNIT_PX = 100
_EDGE_PX, _APART_PX = 14, 18
_BESIDE_PX = 2 * _EDGE_PX + _APART_PX
"""What of the header's width is left to neither the status nor the controls beside it [px]."""


class Header(QWidget):
    """Shows the job and its status; asks to plan or to stop."""

    plan_wanted = Signal()
    cancel_wanted = Signal()
    aims_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.job = ElidedLabel("job")
        self.changed = QLabel("changed, not saved", objectName="changed", visible=False)
        self.status = ElidedLabel("status")
        self.status.setAccessibleName("Status of the plan")
        self.aims = AimsBox()
        self.aims.asked.connect(self.aims_wanted)
        self.seconds = QSpinBox(accessibleName="Seconds to plan for", minimum=1, maximum=3600, suffix=" s")
        self.seconds.setToolTip("How long planning may take; the best plan found so far is shown as it comes")
        self.plan = QPushButton("Plan", objectName="main", toolTip="Look for a better plan (F5)")
        self.cancel = QPushButton("Stop", toolTip="Stop and keep the best plan so far (Shift+F5)")
        self.views = ViewSwitch()
        self.plan.clicked.connect(self.plan_wanted)
        self.cancel.clicked.connect(self.cancel_wanted)
        self.progress = QProgressBar(textVisible=False, accessibleName="Progress of planning")
        self._lay_out()
        self.set_busy(False)

    def _lay_out(self) -> None:
        controls = QHBoxLayout()
        controls.setSpacing(8)
        for widget in (label_of(self.aims.list, "Plan for"), self.aims, self.seconds, self.plan, self.cancel):
            controls.addWidget(widget)
        grid = self._grid = QGridLayout(self)
        grid.setContentsMargins(_EDGE_PX, 7, _EDGE_PX, 0)
        grid.setHorizontalSpacing(_APART_PX)
        grid.setVerticalSpacing(1)
        title = QHBoxLayout()
        title.addWidget(self.job, 1)
        title.addWidget(self.changed)
        grid.addLayout(title, 0, 0)
        self._controls = controls
        self._under: bool | None = None
        self._place_status()
        self.status.reworded.connect(self._place_status)
        grid.addWidget(self.views, 2, 0, 1, 2)
        grid.addWidget(self.progress, 3, 0, 1, 2)
        grid.setColumnStretch(0, 1)

    def _place_status(self) -> None:
        """Put the status beside the controls, or where it would be cut there, under them and in two lines at most."""
        beside = self.width() - self._controls.sizeHint().width() - _BESIDE_PX
        needed = self.status.fontMetrics().horizontalAdvance(self.status.text())
        under = larger(self, _UNIT_PX) > _UNIT_PX or needed > beside
        self.status.set_lines(2 if needed > self.width() - 2 * _EDGE_PX else 1)
        if under is self._under:
            return
        self._under = under
        self._grid.removeWidget(self.status)
        self._grid.removeItem(self._controls)
        self._grid.addWidget(self.status, 1, 0, 1, 2 if under else 1)
        self._grid.addLayout(self._controls, 0, 1, 1 if under else 2, 1)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.FontChange:
            self._place_status()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_status()

    @property
    def wanted(self) -> PlanFor:
        """What the next plan is made best at."""
        return self.aims.wanted

    @wanted.setter
    def wanted(self, one: PlanFor) -> None:
        self.aims.wanted = one

    def set_busy(self, busy: bool, able: bool = False) -> None:
        """Show whether a run goes on, and whether one could be started."""
        self.plan.setEnabled(able and not busy)
        self.cancel.setEnabled(busy)
        for widget in (self.aims, self.seconds):
            widget.setEnabled(able and not busy)
        policy = self.progress.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.progress.setSizePolicy(policy)
        self.progress.setVisible(busy)

    def set_unsaved(self, words: str, tip: str) -> None:
        """Say what is in no file yet; "" for nothing."""
        self.changed.setText(words)
        self.changed.setToolTip(tip)
        self.changed.setVisible(bool(words))

    def set_progress(self, seconds: float, of: float) -> None:
        """Show how much of the time is used."""
        self.progress.setRange(0, max(1, int(of * 10)))
        self.progress.setValue(min(int(seconds * 10), int(of * 10)))
