"""The Shift sheet view: pick a day and a gang, read the sheet, print it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import QLabel, QPlainTextEdit, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.job_view import JobView
from app.layouts import stack_up
from app.new_file import ask_new_file
from app.restyle import restyle
from app.session import Session
from app.shift_sheet.bar import SheetBar
from app.shift_sheet.maker import SheetMaker, Shown
from app.shift_sheet.paper import Paper
from app.shift_sheet.turns import Turn, beside, no_work_words
from app.tasks import Asker
from planner.sheets.rows import STOPPED

NO_PLAN = "There is no plan yet. Plan (F5) makes one; then every gang's sheet of every day is here, ready to print."
_MAKING = "The sheet is being made …"
_NO_WORK_AT_ALL = "This plan holds no work for any gang."


class ShiftSheetView(JobView):
    """Shows one gang and day; sheets are made and drawn off the window's thread."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Shift sheet")
        self.maker: SheetMaker | None = None
        self.shown: Shown | None = None
        self._session: Session | None = None
        self._turn: Turn | None = None
        self._now: float | None = None
        self.drawer, self.printer = Asker(self), Asker(self)
        self.drawer.answered.connect(self._drawn)
        self.drawer.failed.connect(self._failed)
        self.printer.answered.connect(self.told)
        self.printer.failed.connect(lambda error: self.told.emit(f"The sheet was not printed: {_reason(error)}"))
        self._build()
        self._connect()

    def _build(self) -> None:
        self.bar = SheetBar()
        self.paper = Paper()
        self.text = QPlainTextEdit(readOnly=True, accessibleName="Sheet as text")
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.text.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.nothing = QLabel("", textFormat=Qt.TextFormat.PlainText, wordWrap=True, objectName="lead")
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.go_on = QPushButton("")
        empty = QWidget()
        middle = QVBoxLayout(empty)
        middle.setSpacing(14)
        middle.addStretch(2)
        middle.addWidget(self.nothing)
        middle.addWidget(self.go_on, 0, Qt.AlignmentFlag.AlignCenter)
        middle.addStretch(3)
        self.stack = QStackedWidget()
        for page in (self.paper, self.text, empty):
            self.stack.addWidget(page)
        self._empty = empty
        stack_up(self, self.bar, self.stack, grows=self.stack)
        self._say_nothing(NO_PLAN)

    def _connect(self) -> None:
        self.bar.turn_chosen.connect(self.choose)
        self.bar.earlier.clicked.connect(lambda: self._step(-1))
        self.bar.later.clicked.connect(lambda: self._step(1))
        self.go_on.clicked.connect(lambda: self._step(1))
        self.bar.as_text.toggled.connect(lambda _on: self._show())
        self.bar.print.clicked.connect(lambda: self.print_sheet(whole_day=False))
        self.bar.day_print.clicked.connect(lambda: self.print_sheet(whole_day=True))
        self.paper.width_changed.connect(self.renew_seen)

    # --- session

    def show_session(self, session: Session) -> None:
        self._turn = self.shown = None
        self.bar.set_job(session.loaded.job)
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        if self._session is None or session.loaded.job.gangs != self._session.loaded.job.gangs:
            self.bar.set_job(session.loaded.job)
        self._session = session
        self.maker = SheetMaker(session) if session.plan is not None else None
        self.renew_seen()

    def set_kit(self, kit: Kit) -> None:
        """The page is black on white whatever the colours, and as large as the words."""
        self.renew_seen()

    def set_now(self, slot: float | None) -> None:
        self._now = slot

    @property
    def panels(self) -> tuple[QWidget, ...]:
        return self.bar.day, self.paper

    def close_all(self) -> None:
        self.drawer.close()
        self.printer.close()

    # --- choosing

    def choose(self, turn: Turn) -> None:
        """Show another gang or day."""
        self._turn = turn
        self.renew_seen()

    def _step(self, step: int) -> None:
        if self.shown is not None and self.shown.turn is not None:
            there = beside(self.shown.turns, self.shown.turn, step) or beside(
                self.shown.turns, self.shown.turn, -step
            )
            if there is not None:
                self.choose(there)

    # --- drawing

    def bring_up_to_date(self) -> None:
        """Ask for the sheet."""
        if self.maker is None:
            self.drawer.forget()
            self.shown = None
            self._say_nothing(NO_PLAN)
            return
        if self.shown is None:
            self._say_nothing(_MAKING)
        maker, turn, now = self.maker, self._turn, self._now
        width, ratio = self.paper.page_width, self.devicePixelRatioF()
        self.drawer.ask(lambda: maker.show(turn, now, width, ratio))

    def _drawn(self, shown: Shown) -> None:
        moved = self.shown is None or shown.turn != self.shown.turn
        self.shown, self._turn = shown, shown.turn
        self.paper.show_pages(shown.pages)
        self.text.setPlainText(shown.text)
        if moved:
            self.paper.go_to_top()
        self._show()

    def _show(self) -> None:
        """Show what was made, in the way chosen."""
        shown = self.shown
        if shown is None or self._session is None:
            return
        job, turn = self._session.loaded.job, shown.turn
        self.bar.show_turn(turn, shown.turns)
        day_works = turn is not None and any(one.day == turn.day for one in shown.turns)
        self.bar.enable(True, bool(shown.sheets), day_works)
        self.bar.earlier.setEnabled(turn is not None and beside(shown.turns, turn, -1) is not None)
        self.bar.later.setEnabled(turn is not None and beside(shown.turns, turn, 1) is not None)
        if turn is None:
            self._say_nothing(_NO_WORK_AT_ALL)
        elif not shown.sheets:
            self._say_nothing(no_work_words(job, shown.turns, turn), self._next_words(shown, turn))
        else:
            self.bar.words.setText(_sheet_words(shown))
            restyle(
                self.bar.words, "bad" if any(sheet.broken or sheet.stopped for sheet in shown.sheets) else "status"
            )
            self.stack.setCurrentWidget(self.text if self.bar.as_text.isChecked() else self.paper)

    @staticmethod
    def _next_words(shown: Shown, turn: Turn) -> str:
        if beside(shown.turns, turn, 1) is not None:
            return "Go to its next shift"
        return "Go to its last shift" if beside(shown.turns, turn, -1) is not None else ""

    def _say_nothing(self, words: str, way_on: str = "") -> None:
        self.nothing.setText(words)
        self.go_on.setText(way_on)
        self.go_on.setVisible(bool(way_on))
        self.bar.words.setText("")
        if self.maker is None:
            self.bar.enable(False, False, False)
            self.bar.earlier.setEnabled(False)
            self.bar.later.setEnabled(False)
        self.stack.setCurrentWidget(self._empty)

    def _failed(self, error: Exception) -> None:
        self._say_nothing(f"The sheet could not be made: {_reason(error)}")

    # --- printing

    def print_sheet(self, whole_day: bool) -> None:
        """Let the user say where to, and write this sheet, or the day's of all gangs, as a PDF."""
        maker, shown = self.maker, self.shown
        if maker is None or shown is None or shown.turn is None:
            return
        turn = shown.turn
        name = f"shift_{turn.day.isoformat()}{'' if whole_day else f'_{turn.gang}'}.pdf"
        path = ask_new_file(self, "Print the shift sheet", maker.session.loaded.path.parent / name, "PDF (*.pdf)")
        if path is None:
            return
        write: Callable[[Path, Turn], str] = maker.print_day if whole_day else maker.print_turn
        self.told.emit(f"Drawing {path} …")
        self.printer.ask(lambda: write(path, turn))


def _sheet_words(shown: Shown) -> str:
    """Return how long the sheet is, and first of all whether it may be worked to."""
    broken = sum(len(sheet.broken) for sheet in shown.sheets)
    pages = f"{len(shown.pages)} page{'s' if len(shown.pages) != 1 else ''}"
    works = sum(len(sheet.running) for sheet in shown.sheets)
    said = (
        f"{pages}  ·  {works} work{'s' if works != 1 else ''}  ·  {'; '.join(sheet.shift for sheet in shown.sheets)}"
    )
    if broken:
        return f"BROKEN AS PLANNED: do not work to this sheet.  {said}"
    stopped = any(sheet.stopped for sheet in shown.sheets)
    return f"{STOPPED} where the sheet says so.  {said}" if stopped else said


def _reason(error: object) -> str:
    return (error.strerror or str(error)) if isinstance(error, OSError) else str(error)
