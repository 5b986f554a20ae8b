"""The strip over the closures: study, what may be sent to others, and how the study stands."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QProgressBar, QPushButton, QSpinBox, QWidget

from app.elided_label import ElidedLabel
from app.flow import Flow
from app.layouts import fill_bar

ALL_TIP = "Tick every closure that is not refused"


class ClosureBar(QWidget):
    """Buttons, the progress of a study, and two lines of words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.study = QPushButton("&Study closures", objectName="main")
        self.study.setToolTip("Look for the earliest finish with each number of the closures that are ticked")
        self.stop = QPushButton("S&top", toolTip="Stop and keep what was found")
        self.seconds = QSpinBox(accessibleName="Seconds to study for", minimum=5, maximum=3600, suffix=" s")
        self.seconds.setToolTip("How long a study may take; what is found is shown as it comes")
        self.all = QPushButton("&All on offer", toolTip=ALL_TIP)
        self.look = QPushButton("&Look into it")
        self.look.setToolTip("Work out least lengths and refusals for the step selected, or for the board's plan")
        self.show_it = QPushButton("Sho&w on the board")
        self.show_it.setToolTip("Look at the plan of the step selected on the board, without taking it")
        self.take = QPushButton("Take this &plan", toolTip="Put the plan of the step selected on the board (Enter)")
        self.xlsx = QPushButton("Sp&readsheet …", toolTip="The request list as an XLSX file")
        self.pdf = QPushButton("P&DF …", toolTip="The request list on paper, A4")
        self.ics = QPushButton("&Calendar …", toolTip="The closures as an iCalendar file, in site time")
        self.copy = QPushButton("Cop&y", toolTip="The request list to the clipboard, for a sheet or a mail (Ctrl+C)")
        self.ours = QCheckBox("with o&ur own figures")
        self.ours.setToolTip(
            "Costs, least lengths, losses and second choices too: in a second file, NAME_for_ourselves, or copied in "
            "the request's place; not to be handed over"
        )
        self.status = ElidedLabel("status")
        self.status.setAccessibleName("Status of the study")
        self.offer = ElidedLabel("status")
        self.offer.setAccessibleName("Closures on offer")
        self.progress = QProgressBar(textVisible=False, accessibleName="Progress of the study")
        policy = self.progress.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.progress.setSizePolicy(policy)
        self.progress.hide()
        self._lay_out()

    def say_all(self, all_on_offer: bool) -> None:
        """Say what the button for all does next."""
        self.all.setText("&None on offer" if all_on_offer else "&All on offer")
        tip = "Untick every closure, to tick the few that they give" if all_on_offer else ALL_TIP
        self.all.setToolTip(tip)

    @property
    def sends(self) -> tuple[QPushButton, ...]:
        """The buttons that give the request list to others."""
        return self.xlsx, self.pdf, self.ics, self.copy

    def _lay_out(self) -> None:
        row = Flow()
        for widget in (self.study, self.stop, self.seconds, self.all):
            row.addWidget(widget)
        for widget in (self.show_it, self.take, self.look):
            row.addWidget(widget)
        for widget in (*self.sends, self.ours):
            row.addWidget(widget)
        fill_bar(self, row, self.status, self.offer, self.progress, foot_px=0)
