"""The strip under the replan view: what becomes of the way out that is chosen."""

from __future__ import annotations

from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.flow import Flow


class ReplanFoot(QWidget):
    """Four buttons."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, objectName="header")
        self.look = QPushButton("Sho&w on the board")
        self.look.setToolTip("Look at it on the board, with the new forecast; nothing is changed until you take it")
        self.take = QPushButton("&Take this plan", objectName="main")
        self.take.setToolTip("Put it on the board, with the new forecast under it; Ctrl+Z goes back")
        self.issue = QPushButton("Take and &issue it …", toolTip="Take this plan and hand it out as a programme")
        self.paper = QPushButton("Comparison as P&DF …", toolTip="One page: what breaks, the ways out, what moves")
        row = Flow()
        for button in (self.look, self.take, self.issue, self.paper):
            row.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 6, 14, 6)
        layout.addLayout(row)
