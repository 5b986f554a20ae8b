"""The panel beside the closures: what there is to say of the closure or step selected, and the work in it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QTextBrowser, QVBoxLayout, QWidget

from app.board.clock import span
from app.board.kit import Kit
from app.details_words import Section, to_html
from app.layouts import DOWN, EDGE_PX, parted, stack_up
from planner.closures.words import one_line
from planner.closures.work_inside import WorkInside
from planner.model import Job


class ClosureSide(QWidget):
    """A title, words in sections, and a list of work; choosing an operation asks for it on the board."""

    operation_chosen = Signal(str)

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self._sections: tuple[Section, ...] = ()
        self.title = QLabel("", objectName="job", wordWrap=True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.title.setContentsMargins(14, 0, 12, 0)
        self.words = QTextBrowser(accessibleName="What there is to say of the closure selected")
        self.words.setOpenLinks(False)
        self.words.document().setDocumentMargin(EDGE_PX - 1)
        self.heading = QLabel("Work in it, on the board", objectName="panelTitle")
        self.heading.setContentsMargins(14, 9, 8, 3)
        self.work = QListWidget(accessibleName="Work in it", wordWrap=True)
        self.work.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.work.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.work.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.work.itemClicked.connect(self._choose)
        self.work.itemActivated.connect(self._choose)
        self._lay_out()

    def _lay_out(self) -> None:
        under = QWidget()
        stack_up(under, self.heading, self.work, grows=self.work)
        split = parted(DOWN, (self.words, under), (380, 200))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 10, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.title)
        layout.addWidget(split, 1)

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.kit = kit
        self.words.setHtml(to_html(self._sections, kit.theme))

    def show_words(self, title: str, sections: Sequence[Section]) -> None:
        """Show a title and sections; words that stand already are left alone, so that reading goes on."""
        self.title.setText(title)
        if self._sections != tuple(sections):
            self._sections = tuple(sections)
            self.words.setHtml(to_html(self._sections, self.kit.theme))

    def show_work(self, heading: str, work: Sequence[WorkInside], job: Job) -> None:
        """List work, with the names of its gangs."""
        gangs = {gang.id: one_line(gang.name) for gang in job.gangs}
        self.heading.setText(heading)
        self.work.clear()
        for one in work:
            when = span(job.time, one.start, one.finish)
            names = ", ".join(gangs.get(id, id) for id in one.gangs)
            item = QListWidgetItem(f"{one_line(one.name)} – {one_line(one.element)}\n{when}, {names}")
            item.setData(Qt.ItemDataRole.UserRole, one.operation)
            self.work.addItem(item)
        self.work.setEnabled(bool(work))

    def _choose(self, item: QListWidgetItem) -> None:
        self.operation_chosen.emit(item.data(Qt.ItemDataRole.UserRole))
