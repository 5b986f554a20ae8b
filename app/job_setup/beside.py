"""What stands beside the form: the method as a chain, a product's curves, or words about a group; no changes here."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QScrollArea, QTextBrowser, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.details_words import Section, to_html
from app.job_setup.chain import chain_lines, chain_of, file_only_lines
from app.job_setup.curve_chart import CurveChart
from app.job_setup.parts import Item
from app.layouts import EDGE_PX
from planner.closures.words import one_line
from planner.model import Job

ABOUT = {
    "job": "What the job is called, when it runs, where it is and whose rules it keeps.",
    "structures": "A pier, an abutment, a span: gangs lose time when they move from one to another.",
    "elements": "The things repaired. Each names its structure and its method, and gives the quantities that the "
    "method's operations draw on. Add one by its method; copy one where many are alike.",
    "gangs": "Who does the work. An operation goes to a gang that has its skill, in one of its shifts.",
    "plant": "Plant that the methods name and there is not enough of.",
    "lanes": "Traffic lanes that closures shut.",
    "closures": "Windows in which lanes are shut. What each is worth is told in the Closures view.",
    "products": "Materials with their data-sheet curves. The built-in ones are illustrative: take those you use into "
    "the job, and type in the numbers of your product's data sheet. Further curves, and strengths from cube results, "
    "are written in the job's file.",
    "methods": "Sequences of operations with the gaps between them. Take a built-in one into the job to change it: "
    "its operations in order, their hours, skill and hold points, and its gaps. Exposed stretches, held plant, what "
    "an operation places and who releases its hold point are shown here in part, and written in the job's file.",
    "alternatives": "Other ways of doing an operation of some elements, taken where they better the aim: another "
    "product, a heated tent, plates over an open joint.",
    "remedies": "Work that mends a missed gap of some elements, taken where that is cheaper than meeting it.",
}
"""What each group is, for people who choose the group itself."""


class Beside(QWidget):
    """A title, words, and curves where there are any."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kit = kit
        self._sections: tuple[Section, ...] = ()
        self.title = QLabel("", objectName="panelTitle", textFormat=Qt.TextFormat.PlainText)
        self.title.setContentsMargins(14, 9, 8, 3)
        self.words = QTextBrowser(accessibleName="Method, offers and hints")
        self.words.document().setDocumentMargin(EDGE_PX - 1)
        self.chart = CurveChart(kit)
        self.curves = QScrollArea(accessibleName="Curves of the product", widgetResizable=True)
        self.curves.setFrameShape(QScrollArea.Shape.NoFrame)
        self.curves.setWidget(self.chart)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.title)
        layout.addWidget(self.words, 1)
        layout.addWidget(self.curves, 2)
        self.curves.hide()

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.kit = kit
        self.chart.set_kit(kit)
        self.words.setHtml(to_html(self._sections, kit.theme))

    def show_item(self, job: Job, item: Item | None, group: str) -> None:
        """Show what belongs beside an item, or beside a group where no item is chosen."""
        product = next((one for one in job.products if item is not None and one.id == item.product), None)
        self.chart.show_product(product)
        self.curves.setVisible(product is not None and bool(product.curves))
        self._say(job, item, group)

    def _say(self, job: Job, item: Item | None, group: str) -> None:
        sections = [Section("", (ABOUT.get(group, ""),))]
        method = next((one for one in job.methods if item is not None and one.id == item.method), None)
        if method is not None and item is not None:
            element = next((one for one in job.elements if item.key == f"elements/{one.id}"), None)
            links = chain_of(job, method, element.omit if element is not None else ())
            sections = [Section(one_line(method.name), chain_lines(links))]
            sections += [Section("Note", (one_line(method.note),))] if method.note else []
            rest = file_only_lines(method) if group == "methods" else ()
            sections += [Section("In the job's file only", rest)] if rest else []
        self.title.setText("Method" if method is not None else "What this is")
        if self._sections != tuple(sections):
            self._sections = tuple(sections)
            self.words.setHtml(to_html(self._sections, self.kit.theme))
