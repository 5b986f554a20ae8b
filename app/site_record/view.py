"""The Site record view: start, finish and readings as they happen, and what follows from them at once."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QScrollArea, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.job_view import JobView
from app.layouts import ACROSS, DOWN, parted, stack_up
from app.notices import Notice
from app.restyle import restyle
from app.session import Session
from app.site_record.bar import RecordBar
from app.site_record.footing import NOT_ISSUED, outside_words, unissued_words
from app.site_record.form import EntryForm
from app.site_record.page import DayPage, HistoryRow, VisitKey, WorkRow, day_page
from app.site_record.typed import moment_words
from app.site_record.work_list import WorkList
from app.tasks import Asker
from planner.site_record.entries import Draft, change_for, withdrawal_of
from planner.site_record.progress import State, record_now
from planner.site_record.revise import Said, drafts_for, said_of
from planner.units import SLOT_MINUTES

NO_PLAN = "There is no plan yet. Plan (F5) makes one; then the day's work stands here, to be started and finished."
_NO_WORK = "No work is planned on {day}. Earlier and Later lead to days with work."
_NOTHING_YET = "Press “Started now” when work starts, and type what is read: readings overrule the forecast."
_NOTHING_TYPED = "Type below when work started and finished, and what was read: readings overrule the forecast."

_MOST_NAMED = 3
_MOST_DECIDED = 3
_SECOND_TAP_SECONDS = 2.0
"""Within this, a second press on the same button is the same finger."""


class SiteRecordView(JobView):
    """Shows one day; every press asks the window to change the job, and the page follows."""

    rest_wanted = Signal()
    """The rest shall be planned again from now, with what is recorded as it is."""
    issue_wanted = Signal()
    """The plan shown is to be issued."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Site record")
        self.page: DayPage | None = None
        self.chosen: VisitKey | None = None
        self._session: Session | None = None
        self._now: float | None = None
        self._pressed: tuple[VisitKey, str, float] | None = None
        """The last press on a now button, and when it was."""
        self.asker = Asker(self)
        self.asker.answered.connect(self._show)
        self.asker.failed.connect(lambda error: self.told.emit(f"The record can't be shown: {error}"))
        self._build()
        self._connect()

    def _build(self) -> None:
        self.bar = RecordBar()
        self.nothing = QLabel("", textFormat=Qt.TextFormat.PlainText, wordWrap=True, objectName="quiet")
        self.nothing.setContentsMargins(14, 14, 14, 14)
        self.outside = QLabel("", textFormat=Qt.TextFormat.PlainText, wordWrap=True, objectName="follows")
        self.unissued = Notice(
            NOT_ISSUED, (("Issue this programme …", "Hand it out under a number (Ctrl+I)", self.issue_wanted.emit),)
        )
        self.unissued.buttons[0].setObjectName("touch")
        self.work = WorkList()
        self.form = EntryForm()
        self.follows = QLabel("", textFormat=Qt.TextFormat.PlainText, wordWrap=True, objectName="follows")
        self.follows.setAccessibleName("What follows")
        self.follows.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.history = QListWidget(accessibleName="What was recorded, the newest first")
        self.history.setWordWrap(True)
        recorded = _titled("Recorded, the newest first", self.history)
        left = parted(DOWN, (_column(self.outside, self.unissued, self.nothing, self.work), recorded), (430, 150))
        right = QScrollArea(objectName="side", widgetResizable=True)
        right.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        right.setAccessibleName("Entry for the record")
        right.setFrameShape(QScrollArea.Shape.NoFrame)
        right.setWidget(_column(_titled("What follows", self.follows), self.form, None))
        aside = _column(right, self.form.footer)
        middle = parted(ACROSS, (left, aside), (900, 460), grows=0)
        stack_up(self, self.bar, middle, grows=middle)

    def _connect(self) -> None:
        self.bar.day_chosen.connect(lambda _day: self.renew_seen())
        self.bar.gang_chosen.connect(lambda _gang: self.renew_seen())
        self.bar.take_back.clicked.connect(self.take_back)
        self.bar.rest.clicked.connect(self.rest_wanted)
        self.work.chosen.connect(self.choose)
        self.work.started.connect(lambda key: self._now_said(key, "started"))
        self.work.finished.connect(lambda key: self._now_said(key, "finished"))
        self.form.saved.connect(self._saved)
        self.form.repeated.connect(self._again)
        self.history.currentRowChanged.connect(self._history_row)

    # --- session

    def set_kit(self, kit: Kit) -> None:
        """The style sheet does all."""

    def show_session(self, session: Session) -> None:
        self.chosen = None
        self.form.show_row(None, None)  # what was typed for another job goes with it
        self.bar.set_job(session.loaded.job)
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        self._session = session
        self.renew_seen()

    def set_now(self, slot: float | None) -> None:
        self._now = slot
        if self.isVisible():
            self.renew_seen()

    def select(self, key: str) -> None:
        if key and self.page is not None:
            there = next((row.key for row in self.page.rows if row.key[0] == key), None)
            if there is not None:
                self.choose(there)

    @property
    def panels(self) -> tuple[QWidget, ...]:
        return self.bar.day, self.form.started, self.history

    def close_all(self) -> None:
        self.asker.close()
        self.work.close_all()

    @property
    def now(self) -> int | None:
        """The minute that is now since the job's first midnight; None outside the job's days."""
        if self._now is None or self._session is None or not 0 <= self._now <= self._session.facts.horizon:
            return None
        return round(self._now * SLOT_MINUTES)

    # --- showing

    def bring_up_to_date(self) -> None:
        """Ask for the page."""
        session = self._session
        if session is None or session.plan is None:
            self.asker.forget()
            self.page = None
            self._say_footing(None)
            self._say_nothing(NO_PLAN)
            return
        day, gang, now = self.bar.wanted_day, self.bar.wanted_gang, self.now
        self.asker.ask(lambda: day_page(session, day, gang, now))

    def _show(self, page: DayPage) -> None:
        self.page = page
        self._say_footing(self._session)
        self.bar.show_page(page)
        self.nothing.setText("" if page.rows else _NO_WORK.format(day=self.bar.day_words))
        self.nothing.setVisible(not page.rows)
        if self._row() is None and page.rows:
            self.chosen = next((row.key for row in page.rows if row.state is not State.DONE), page.rows[0].key)
        self.work.show_rows(page.rows, self.now is not None, self.chosen)
        self._show_history(page)
        self._show_chosen()
        session = self._session
        self.bar.rest.setEnabled(session is not None and bool(session.loaded.job.record))

    def _say_footing(self, session: Session | None) -> None:
        """Say what is special about today and about the plan, before anything is recorded."""
        told = outside_words(session, self._now) if session is not None and self.now is None else ""
        self.outside.setText(told)
        self.outside.setVisible(bool(told))
        self.unissued.setVisible(session is not None and bool(unissued_words(session)))
        self.bar.can_be_today(self.now is not None)
        self.form.can_repeat(self.now is not None)

    def _say_nothing(self, words: str) -> None:
        self.nothing.setText(words)
        self.nothing.show()
        self.work.show_rows((), False, None)
        self.history.clear()
        self.follows.setText("")
        self.form.show_row(None, None)
        self.bar.rest.setEnabled(False)
        self.bar.take_back.setEnabled(False)

    def choose(self, key: VisitKey) -> None:
        """Show what is recorded of a visit, and what follows from it."""
        if self.page is None or key == self.chosen:
            return
        self.chosen = key
        self.work.show_rows(self.page.rows, self.now is not None, key)
        self._show_chosen()

    def _row(self) -> WorkRow | None:
        rows = self.page.rows if self.page is not None else ()
        return next((row for row in rows if row.key == self.chosen), None)

    def _show_chosen(self) -> None:
        row, page = self._row(), self.page
        time = self._session.facts.time if self._session is not None else None
        self.form.show_row(row, time)
        lines = page.follows.get(row.key, ()) if page is not None and row is not None else ()
        recorded = self._session is not None and bool(self._session.loaded.job.record)
        told = [*lines, *decide_words(page.decide if page is not None else ())]
        told += broken_words(page.broken if page is not None else (), recorded)
        nothing = _NOTHING_YET if self.now is not None else _NOTHING_TYPED
        self.follows.setText("\n\n".join(_capital(line) for line in told) or nothing)
        bad = any(line.startswith(("missed", "reading", "broken", "to be decided")) for line in told)
        restyle(self.follows, "followsBad" if bad else "follows")

    def _show_history(self, page: DayPage) -> None:
        self.history.clear()
        for one in page.history:
            item = QListWidgetItem(f"{one.words}  ·  {one.standing}")
            font = item.font()
            font.setStrikeOut(one.replaced)
            item.setFont(font)
            item.setData(Qt.ItemDataRole.UserRole, one)
            self.history.addItem(item)
        if not page.history:
            self.history.addItem("Nothing is recorded yet.")
        self.bar.take_back.setEnabled(False)

    def _history_row(self, _number: int) -> None:
        one = self._picked()
        self.bar.take_back.setEnabled(one is not None and not one.replaced and not one.standing.startswith("takes"))
        if one is not None:
            self.choose(one.key)

    def _picked(self) -> HistoryRow | None:
        item = self.history.currentItem()
        one = item.data(Qt.ItemDataRole.UserRole) if item is not None else None
        return one if isinstance(one, HistoryRow) else None

    # --- recording

    def _now_said(self, key: VisitKey, what: str) -> None:
        """Record that a visit started or finished at this minute."""
        session, now = self._session, self.now
        if session is None or now is None:
            return
        if self._is_told_already(session, key, what):
            return
        self._pressed = (key, what, monotonic())
        self.choose(key)
        begun = Draft(*key, noted=now, by=self.form.by.text().strip())
        draft = replace(begun, started=now) if what == "started" else replace(begun, finished=now)
        self.change_wanted.emit(f"record that it {what}", change_for(session.loaded.job, draft))

    def _is_told_already(self, session: Session, key: VisitKey, what: str) -> bool:
        """Say in plain words that a second press changes nothing, where the record holds it or is about to."""
        said = said_of(session.loaded.job, *key)
        known = said.started if what == "started" else said.finished
        if known is None and not self._was_pressed(key, what):
            return False
        at = "just now" if known is None else moment_words(session.facts.time, known)
        self.told.emit(f"It is recorded already that it {what} {at}. Another time can be typed at the right.")
        return True

    def _was_pressed(self, key: VisitKey, what: str) -> bool:
        """Say whether the same button was pressed a moment ago: its entry may still be on its way into the job."""
        last = self._pressed
        return last is not None and last[:2] == (key, what) and monotonic() - last[2] < _SECOND_TAP_SECONDS

    def _saved(self, said: Said) -> None:
        session, row = self._session, self._row()
        if session is None or row is None:
            return
        job, by = session.loaded.job, self.form.by.text().strip()
        noted = self._noted(said)
        drafts = drafts_for(job, *row.key, said, noted, by)
        if drafts:
            self.change_wanted.emit("write into the record", change_for(job, *drafts))

    def _again(self) -> None:
        """Record another visit of finished work: what follows waits from its end."""
        session, row, now = self._session, self._row(), self.now
        if session is None or row is None or now is None:
            return
        taken = [entry.visit for entry in session.loaded.job.record if entry.operation == row.key[0]]
        draft = Draft(row.key[0], max(taken) + 1, now, now, by=self.form.by.text().strip())
        self.change_wanted.emit("record another visit", change_for(session.loaded.job, draft))

    def _noted(self, said: Said) -> int:
        """Return the minute of this entry; outside the job's days, that of the last time that it tells."""
        if self.now is not None:
            return self.now
        told = [minute for minute in (said.started, said.finished) if minute is not None]
        known = [record_now(self._session.loaded.job)] if self._session is not None else []
        return max(told + known, default=0)

    def take_back(self) -> None:
        """Take the picked entry back: it stays in the history, and no longer counts."""
        session, one = self._session, self._picked()
        if session is not None and one is not None:
            job = session.loaded.job
            draft = withdrawal_of(job, one.number, self._noted(Said()), by=self.form.by.text().strip())
            self.change_wanted.emit(f"take back entry {one.number}", change_for(job, draft))


def decide_words(words: tuple[str, ...]) -> tuple[str, ...]:
    """Return a line for each of the first things that people decide on site, and how many more there are."""
    more = len(words) - _MOST_DECIDED
    lines = tuple(f"to be decided on site, planning cannot mend it: {one}" for one in words[:_MOST_DECIDED])
    return (*lines, f"to be decided on site: and {more} more") if more > 0 else lines


def broken_words(names: tuple[str, ...], recorded: bool = True) -> tuple[str, ...]:
    """Return one line on all that is broken in the plan as it stands; none where nothing is.

    recorded: whether anything is recorded yet; the rest is planned again only then.
    """
    if not names:
        return ()
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    listed = "; ".join(names[:_MOST_NAMED])
    way = "“Plan the rest” moves what can move" if recorded else "“Mend the rest” (F7) moves what can move"
    return (f"broken as it now stands: {listed}{more}. {way}; see Audit on the board.",)


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _column(*widgets: QWidget | None) -> QWidget:
    """Return widgets below each other; None is room."""
    box = QWidget()
    layout = QVBoxLayout(box)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    for widget in widgets:
        if widget is None:
            layout.addStretch(1)
        else:
            layout.addWidget(widget)
    return box


def _titled(words: str, widget: QWidget) -> QWidget:
    title = QLabel(words, objectName="panelTitle")
    title.setContentsMargins(14, 8, 14, 4)
    return _column(title, widget)
