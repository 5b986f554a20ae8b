"""The dialog in which a person asks a forecast service for the site's forecast; nothing is sent before "Ask now"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QWidget,
)

from app.dialog import Dialog, field_form
from app.plain_buttons import Standard, plain_buttons
from app.weather.fetch import Answer, Fetcher
from app.weather.fetch_store import FetchStore, Kept
from planner.errors import InputError
from planner.model import Site
from planner.weather.fetch_plan import FetchSettings, check_settings, request_plan

_INTRO = (
    "The program knows no service and asks none by itself. Copy the address of a forecast service that allows it, "
    "with {latitude} and {longitude} where the site's coordinates go."
)


def _version() -> str:
    try:
        return version("liftgap")
    except PackageNotFoundError:
        return "unknown"


@dataclass(frozen=True)
class Fetched:
    """An answer as the view reads it. credit: what the service wants to be shown beside its data."""

    kept: Kept
    credit: str
    is_new: bool


class FetchDialog(Dialog):
    """Holds what was typed about the service, says how old the answer at hand is, and asks for a newer one."""

    fetched = Signal(object)
    """A `Fetched` to read."""

    def __init__(
        self,
        site: Site,
        settings: FetchSettings,
        store: FetchStore,
        fetcher: Fetcher,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._site, self._store, self.fetcher, self._now = site, store, fetcher, now
        self._pending: Kept | None = None
        self.setWindowTitle("Ask a forecast service")
        self.address = QLineEdit(settings.template, accessibleName="Address of the service")
        self.address.setPlaceholderText("https://…?latitude={latitude}&longitude={longitude}&hourly=…")
        self.agent = QLineEdit(
            settings.agent or f"Liftgap/{_version()} ", accessibleName="Who asks, with a mail or web address"
        )
        self.agent.setToolTip("Add a mail or web address where the service can reach you; most demand it")
        self.credit = QLineEdit(settings.credit, accessibleName="Words that the service wants shown")
        self.timeout = QSpinBox(accessibleName="Longest wait", minimum=1, maximum=120, suffix=" s")
        self.timeout.setValue(int(settings.timeout_s))
        self.at_hand = QLabel("", wordWrap=True)
        self.words = QLabel("", objectName="quiet", wordWrap=True)
        self.ask = QPushButton("Ask now", objectName="main")
        self.use = QPushButton("Use the answer at hand")
        self.buttons = plain_buttons(Standard.Close)
        self._lay_out()
        self._connect()
        self.open_at(680, 330)
        self.renew()

    @property
    def settings(self) -> FetchSettings:
        """What is typed now."""
        return FetchSettings(
            self.address.text().strip(), self.agent.text().strip(), self.credit.text().strip(), self.timeout.value()
        )

    def _connect(self) -> None:
        self.ask.clicked.connect(self.ask_now)
        self.use.clicked.connect(self._use)
        self.buttons.rejected.connect(self.reject)
        self.fetcher.told.connect(self.words.setText)
        self.fetcher.answered.connect(self._answered)
        self.fetcher.failed.connect(self._failed)
        for field in (self.address, self.agent):
            field.textChanged.connect(self.renew)

    def _lay_out(self) -> None:
        layout = self.lines()
        intro = QLabel(_INTRO, objectName="quiet", wordWrap=True)
        layout.addWidget(intro)
        form = field_form()
        form.addRow("Address", self.address)
        form.addRow("Who asks", self.agent)
        form.addRow("Credit to show", self.credit)
        form.addRow("Longest wait", self.timeout)
        layout.addLayout(form)
        layout.addWidget(self.at_hand)
        layout.addWidget(self.words)
        layout.addStretch(1)
        row = QHBoxLayout()
        row.addWidget(self.ask)
        row.addWidget(self.use)
        row.addStretch(1)
        row.addWidget(self.buttons)
        layout.addLayout(row)

    def renew(self) -> None:
        """Say what is wrong with what is typed, or how old the answer at hand is."""
        faults = check_settings(self.settings)
        kept = None if faults else self._kept()
        fresh = kept is not None and kept.record.is_fresh(self._now())
        self.ask.setEnabled(not faults and not self.fetcher.busy and not fresh)
        self.use.setEnabled(kept is not None and not self.fetcher.busy)
        if kept is None:
            self.at_hand.setText("No answer of this service is at hand.")
        else:
            rest = " The service has nothing newer yet; it need not be asked." if fresh else ""
            self.at_hand.setText(f"The answer at hand is {kept.record.age_words(self._now())}.{rest}")
        if faults and (self.address.text() or self.agent.text()):
            lines = [f"{one.path}: {one.found}; allowed: {one.allowed}. {one.hint}" for one in faults[:3]]
            self.words.setText("\n".join(lines))
        elif not self.fetcher.busy:
            self.words.setText("")

    def ask_now(self) -> None:
        """Send the request."""
        kept = self._kept()
        plan = request_plan(self.settings, self._site, kept.record if kept else None)
        self._pending = kept
        self.fetcher.ask(plan, self.settings.pauses_s(), kept.record if kept else None)
        self.ask.setEnabled(False)
        self.use.setEnabled(False)

    def done(self, result: int) -> None:
        self.fetcher.cancel()
        super().done(result)

    def _kept(self) -> Kept | None:
        return self._store.kept(request_plan(self.settings, self._site).url)

    def _use(self) -> None:
        kept = self._kept()
        if kept is not None:
            self.fetched.emit(Fetched(kept, self.settings.credit, is_new=False))

    def _answered(self, answer: Answer) -> None:
        """Hand on what came; it is kept on the disk only once it has been read without a fault."""
        old = self._pending
        data = answer.data if answer.data is not None else (old.data if old else b"")
        self.words.setText(answer.words or "The answer has come.")
        self.fetched.emit(Fetched(Kept(data, answer.record), self.settings.credit, is_new=True))
        self.renew_buttons()

    def renew_buttons(self) -> None:
        """Allow what can be done now, and leave the words."""
        words = self.words.text()
        self.renew()
        self.words.setText(words)

    def say_unreadable(self, error: Exception) -> None:
        """Say that the answer can't be read; the list of faults is in the view."""
        words = str(error)
        if isinstance(error, InputError):
            rest = f", and {len(error.faults) - 1} more" if len(error.faults) > 1 else ""
            words = f"The answer can't be read: {error.faults[0].found}{rest}"
        self.words.setText(f"{words}. The forecast stays as it was.")

    def _failed(self, words: str) -> None:
        self.renew()
        self.words.setText(f"{words} The forecast stays as it was.")
