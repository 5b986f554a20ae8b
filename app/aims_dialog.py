"""The form for more than one aim: which counts first, which next, what things are worth, what change counts from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QStandardItemModel
from PySide6.QtWidgets import (
    QComboBox,
    QDialogButtonBox,
    QDoubleSpinBox,
    QLabel,
    QWidget,
)

from app.dialog import Dialog, field_form
from app.issue_words import issue_name
from app.plain_buttons import Standard, plain_buttons
from app.plan_for import PlanFor, in_order
from app.session import Session
from app.terms_dialog import TermsChoice
from app.text_size import larger
from planner.cli.standing import AIMS
from planner.model import NO_WORTHS, Aim, Worths
from planner.model.worths import MOST

if TYPE_CHECKING:
    from app.window import MainWindow

_WIDE_PX = 470
_PLACES = ("&First", "&then", "th&en", "the&n")
_WORTHS = (
    ("day", "A &day sooner"),
    ("closure", "A clos&ure fewer"),
    ("crew_day", "A cre&w-day fewer"),
    ("moved", "An operation not &moved"),
)
_WEIGHING = (
    "What is it worth to you, beside what the job's file says that it costs? Least cost then weighs all of it in one "
    "sum."
)
_STEP = 50.0
_RULE = (
    "The first counts most. Each next one is sought among the plans that are no worse at those before it; the time "
    "is shared out between them."
)


class AimsDialog(Dialog):
    """Puts together what to plan for; `wanted` is what stands in it."""

    def __init__(self, wanted: PlanFor, issue: str, money: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("What to plan for")
        self.places = [self._place(number) for number in range(len(_PLACES))]
        self.base = QComboBox(accessibleName="Least change counts from")
        self.base.addItem("the plan on the board")
        if issue:
            self.base.addItem(issue)
            self.base.setCurrentIndex(int(wanted.from_issue))
        self.worths = {name: _amount(words, getattr(wanted.worths, name), money) for name, words in _WORTHS}
        self.said = QLabel(wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.said.setMinimumWidth(larger(self, _WIDE_PX))
        self.buttons = plain_buttons(Standard.Ok, Standard.Cancel)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.terms = self.buttons.addButton("What the pl&an comes to …", QDialogButtonBox.ButtonRole.ActionRole)
        self.terms.setToolTip("Each term of the plan on the board, beside what no plan goes below (Ctrl+Shift+F5)")
        for place, aim in zip(self.places, wanted.aims, strict=False):
            place.setCurrentIndex(place.findData(aim.value))
        for field in (*self.places, self.base):
            field.currentIndexChanged.connect(lambda _index: self._follow())
        for amount in self.worths.values():
            amount.valueChanged.connect(lambda _value: self._follow())
        self._lay_out()
        self._follow()

    @property
    def wanted(self) -> PlanFor:
        """What to plan for, as it stands."""
        aims = in_order([_aim(place) for place in self.places])
        put = {name: round(amount.value(), 2) for name, amount in self.worths.items()}
        return PlanFor(aims, self.base.currentIndex() == 1, Worths(**put) if Aim.COST in aims else NO_WORTHS)

    def _place(self, number: int) -> QComboBox:
        place = QComboBox(accessibleName="First aim" if number == 0 else f"Aim {number + 1}")
        if number:
            place.addItem("nothing more", "")
        for aim, words in AIMS.items():
            place.addItem(words, aim.value)
        return place

    def _lay_out(self) -> None:
        rule = QLabel(_RULE, objectName="quiet", wordWrap=True)
        form = field_form()
        for words, place in zip(_PLACES, self.places, strict=True):
            form.addRow(words, place)
        weighing = QLabel(_WEIGHING, objectName="quiet", wordWrap=True)
        amounts = field_form()
        for name, words in _WORTHS:
            amounts.addRow(words, self.worths[name])
        amounts.addRow("&Changed from", self.base)
        layout = self.lines()
        layout.addWidget(rule)
        layout.addLayout(form)
        layout.addWidget(weighing)
        layout.addLayout(amounts)
        layout.addWidget(self.said)
        layout.addWidget(self.buttons)

    def _follow(self) -> None:
        """Offer in each place what the places before it have left; say what it comes to."""
        taken: set[str] = set()
        for number, place in enumerate(self.places):
            open_here = number == 0 or _aim(self.places[number - 1]) is not None
            if place.currentData() in taken or not open_here:
                place.setCurrentIndex(0)
            _allow(place, taken)
            place.setEnabled(open_here and len(taken) < len(AIMS))
            if place.currentData():
                taken.add(place.currentData())
        for amount in self.worths.values():
            amount.setEnabled(Aim.COST.value in taken)
        self.base.setEnabled(self.wanted.changes and self.base.count() > 1)
        self.said.setText(f"Plan for {self.wanted.words}.")


def _amount(words: str, money: float, currency: str) -> QDoubleSpinBox:
    """Return the field for what one is worth; it says "nothing" at nought."""
    amount = QDoubleSpinBox(minimum=0.0, maximum=MOST, decimals=2, singleStep=_STEP, suffix=f" {currency}")
    amount.setAccessibleName(f"{words.replace('&', '')} is worth")
    amount.setSpecialValueText("nothing")
    amount.setGroupSeparatorShown(True)
    amount.setValue(money)
    return amount


def _aim(place: QComboBox) -> Aim | None:
    return Aim(place.currentData()) if place.currentData() else None


def _allow(place: QComboBox, taken: set[str]) -> None:
    """Let only what is not taken be picked."""
    model = place.model()
    assert isinstance(model, QStandardItemModel)
    for row in range(place.count()):
        model.item(row).setEnabled(place.itemData(row) not in taken)


class AimsChoice(QObject):
    """Shows the form and gives what was put together to the header."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self.dialog: AimsDialog | None = None
        self.terms = TermsChoice(window)

    def ask(self) -> None:
        """Show the form with what the header says now."""
        window = self._window
        if window.session is None or window.planning.busy:
            return
        money = window.session.loaded.job.job.currency
        dialog = AimsDialog(window.header.wanted, _last_issue(window.session), money, window)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(lambda: self._take(dialog))
        dialog.terms.setEnabled(window.session.plan is not None)
        dialog.terms.clicked.connect(lambda: self.terms.show(dialog))
        self.dialog = dialog
        dialog.open()

    def _take(self, dialog: AimsDialog) -> None:
        self._window.header.wanted = dialog.wanted
        self._window.header.aims.list.setFocus()


def _last_issue(session: Session) -> str:
    """Return the name of the issue that least change can count from; "" where there is none to be read."""
    plans = [one for one in session.issued if one.plan is not None and one.plan.placements]
    return issue_name(plans[-1], session) if plans else ""
