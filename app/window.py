"""The main window: header, board, details and findings, and the pages that stand in for them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import QMainWindow, QVBoxLayout, QWidget

from app.aims_dialog import AimsChoice
from app.banner import Banner
from app.board.kit import Kit
from app.board.view import BoardView
from app.by_hand.hands import Hands
from app.by_the_clock import ByTheClock
from app.collecting import set_aside
from app.details import DetailsPanel
from app.elided_label import standing_label
from app.findings_panel import FindingsPanel
from app.header import Header
from app.issue_forecast import IssueForecast
from app.issuing import Issuing
from app.job_editor import JobEditor
from app.job_view import JobView
from app.job_views import make_views
from app.leaving import Leaving
from app.looking import Looking
from app.moving import Mover
from app.notices import Notices
from app.offers import Offers
from app.opening import Opening
from app.outside import Outside
from app.own_forecast import OwnForecast
from app.pages import FaultsPage, WaitPage, WelcomePage
from app.palette import theme_for
from app.plan_opening import PlanOpening
from app.plan_runs import PlanRuns
from app.read_only import ReadOnly
from app.recovery import Recovery
from app.remembered import keep_look, keep_panes, restore_look, restore_panes
from app.samples import sample_jobs
from app.saving import Saver
from app.seek.place import BoardPlace
from app.seek.seeker import Seeker
from app.session import Session
from app.settings import Settings
from app.solving import WORKER
from app.status_words import forecast_words, plan_words
from app.text_size import larger
from app.views import Pages, Views
from app.weather.view import WeatherView
from app.window_look import WindowLook, board_page
from app.window_menus import PICTURES, add_menus
from planner.findings import Finding

_SIDE_PX, _SIDE_WIDE_PX, _WIDE_PX = 316, 400, 1700
Clock = Callable[[], datetime]


class MainWindow(QMainWindow):
    """Shows one job; `command` is the solving process, `clock` the time now (both given otherwise in tests)."""

    def __init__(
        self, settings: Settings, command: Sequence[str] = WORKER, clock: Clock = lambda: datetime.now(UTC)
    ) -> None:
        super().__init__()
        self.settings = settings
        self.session: Session | None = None
        self.saved_text = ""
        self.board: BoardView | None = None
        self.clock = clock
        self.kit = Kit(theme_for(settings.theme, settings.high_contrast), settings.text_size.scale)
        self.opening, self.plan_opening, self.leaving = Opening(self), PlanOpening(self), Leaving(self)
        self.recovery = Recovery(self)
        self.read_only, self.outside, self.looking = ReadOnly(self), Outside(self), Looking(self)
        self.runs = PlanRuns(self, command)
        self.planning = self.runs.planning
        self.mover = Mover(self)
        self.mover.stack.indexChanged.connect(lambda _index: self.enable())
        self.editor, self.issuing, self.aims = JobEditor(self), Issuing(self), AimsChoice(self)
        self._build()
        self.saver = Saver(self)
        self.hands, self.offers = Hands(self), Offers(self)
        self.issue_forecast, self.own_forecast = IssueForecast(self), OwnForecast(self)
        self.seeker = Seeker(self)
        self.saver.told.connect(self.tell)
        self.looks = WindowLook(self)
        self.actions_by_name = add_menus(self)
        self.stack.currentChanged.connect(lambda _index: self.enable())
        self.looks.apply_theme()
        restore_panes(self)
        self.by_the_clock = ByTheClock(self)
        self.show_welcome()
        self.offers.look()
        if not self.restoreGeometry(settings.geometry):
            self.resize(1366, 768)

    # --- parts

    def _build(self) -> None:
        self.header = Header()
        self.header.aims_wanted.connect(self.aims.ask)
        self.header.seconds.setValue(self.settings.seconds)
        self.header.plan_wanted.connect(self.plan)
        self.header.cancel_wanted.connect(self.planning.cancel)
        self.notices, self.banner = Notices(), Banner(self.kit.theme)
        self.welcome, self.faults, self.wait = WelcomePage(self.kit), FaultsPage(), WaitPage("Reading")
        self.welcome.wanted.connect(self.open_job)
        self.welcome.asked.connect(self.opening.choose)
        self.welcome.forget_wanted.connect(self.settings.forget)
        self.faults.again.connect(self.opening.again)
        self.details = DetailsPanel(self.kit)
        self.findings = FindingsPanel(self.kit.theme)
        self.findings.chosen.connect(self.go_to)
        self.place = BoardPlace()
        self.split = board_page(self.place, self.details, self.findings)
        self.stack = Pages()
        for page in (self.welcome, self.wait, self.faults):
            self.stack.addWidget(page)
        self.views = Views(self.stack, self.header.views)
        self.views.add("board", "Board", "Ctrl+1", self.split)
        entries = make_views(self)
        self.view_words = tuple((name, words) for name, words, _view in entries)
        self.pages = {name: view for name, _words, view in entries}
        self.weather = next(view for view in self.pages.values() if isinstance(view, WeatherView))
        self.weather.keeping.kept.connect(self.mark)
        self.weather.undo.indexChanged.connect(lambda _index: self.recovery.note())
        for number, (name, words, view) in enumerate(entries, start=2):
            self.views.add(name, words, f"Ctrl+{number}", view)
            self.views.set_focus(name, view.panels[0])
        middle = QWidget()
        layout = QVBoxLayout(middle)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.header)
        layout.addWidget(self.notices)
        layout.addWidget(self.banner)
        layout.addWidget(self.stack, 1)
        self.setCentralWidget(middle)
        self.forecast = standing_label(self.statusBar())

    # --- opening

    def show_welcome(self) -> None:
        """Show what the program is for."""
        self.welcome.show_jobs(sample_jobs(), [Path(path) for path in self.settings.recent])
        self.header.job.setText("Liftgap")
        self.header.status.setText("No job is open")
        self.setWindowTitle("Welcome")
        self.enable()
        self.stack.setCurrentWidget(self.welcome)

    def open_job(self, path: Path | str) -> None:
        """Read a job off the window's thread; its board or its faults are shown when that is done."""
        self.opening.open(path)

    def show_job(self, session: Session, saved_text: str) -> None:
        """Show a job that was just opened; `saved_text` is what its file holds."""
        self.looking.forget()
        self.session, self.saved_text = session, saved_text
        self.saver.kept_plan = None
        board = BoardView(session.facts, self.kit)
        board.set_density(self.settings.density)
        board.set_legend(self.settings.legend)
        board.set_ribbons_folded(self.settings.ribbons_folded)
        board.selected.connect(self._selected)
        board.activated.connect(self._activated)
        self.hands.attach(board)
        time = session.facts.time
        board.set_clock(lambda: time.minutes_of(self.clock()) / 15)
        self.board = board
        self.place.set_board(board)
        self.seeker.attach(board)
        side = self.settings.side_px or (_SIDE_PX if self.width() < _WIDE_PX else _SIDE_WIDE_PX)
        side = larger(self, side)
        self.split.setSizes([max(400, self.width() - side), side])
        self.details.show_operation(session, None)
        self.findings.show_session(session)
        self._show_heading(session)
        self.mark()
        for view in self.pages.values():
            view.show_session(session)
            view.set_now(board.look.now)
        self.views.set_focus("board", board)
        restore_look(self)
        set_aside()

    # --- planning

    def plan(self) -> None:
        """Look for a plan; the best so far is shown as it comes."""
        self.runs.start()

    def take(self, session: Session) -> None:
        """Show the same job with another plan, or on another forecast."""
        self.looking.forget()
        if self.session is None or session.loaded is not self.session.loaded:
            self._show_heading(session)
        self.session = session
        self.mark()
        if self.board is not None:
            self.board.set_facts(session.facts)
            self.details.show_operation(session, self.board.look.selected)
        self.findings.show_session(session)
        for view in self.pages.values():
            view.renew_session(session)
        self.enable()

    @property
    def unsaved(self) -> bool:
        """Whether the open job was changed since its file was read or saved."""
        return self.session is not None and self.session.loaded.text != self.saved_text

    def note_saved(self, text: str) -> None:
        """Take it that the job's file now holds `text`."""
        self.saved_text = text
        self.mark()
        self.enable()

    def mark(self) -> None:
        """Mark what is in no file yet."""
        self.leaving.mark()
        self.recovery.note()

    def take_step(self, words: str, session: Session) -> None:
        """Show a session from now on, as a step of undo; what is being planned on the old one is dropped."""
        if self.session is None or session is self.session:
            return
        self.planning.drop()
        self.mover.push(words, self.session, session)

    def _show_heading(self, session: Session) -> None:
        self.header.job.setText(session.loaded.job.job.name)
        self.setWindowTitle(f"{session.loaded.job.job.name}[*]")
        self.forecast.setText(forecast_words(session))

    def show_live(self, session: Session) -> None:
        """Show a plan on its way, while a bar is being dragged: board and findings only."""
        if self.board is not None:
            self.board.set_facts(session.facts)
        self.findings.show_session(session)
        self.header.status.setText(plan_words(session))

    def say_plan(self) -> None:
        """Say in the header how the plan stands."""
        if self.session is not None:
            self.header.status.setText(plan_words(self.session))

    def enable(self) -> None:
        """Allow what can be done now."""
        ready, busy = self.session is not None and self.stack.currentWidget() is not self.wait, self.planning.busy
        self.header.set_busy(busy, ready)
        has_plan = self.session is not None and self.session.plan is not None and self.looking.shown is None
        page = self.stack.currentWidget()
        on_steps = ready and (page is self.split or (isinstance(page, JobView) and not page.own_undo))
        for name, able in (
            ("save", self.unsaved),
            *((name, ready and not busy) for name in ("save_as", "open_plan")),
            *((name, has_plan) for name in ("save_plan", "terms")),
            ("issue", has_plan and not busy),
            *((name, ready) for name in PICTURES),
            ("undo", on_steps and (self.runs.can_undo if busy else self.mover.stack.canUndo())),
            ("redo", on_steps and not busy and self.mover.stack.canRedo()),
            *((name, ready and not busy) for name in ("plan", "aims")),
            ("mend", has_plan and not busy),
            ("stop", busy),
            *((name, ready) for name in self.views.names),
        ):
            self.actions_by_name[name].setEnabled(able)
        self.actions_by_name["undo"].setText(f"&Undo {self.mover.stack.undoText()}".strip())
        self.actions_by_name["redo"].setText(f"&Redo {self.mover.stack.redoText()}".strip())
        if self.board is not None:
            self.board.movable = has_plan and not busy
        self.hands.enable()
        self.views.enable(ready, shown=self.session is not None)

    @property
    def folder(self) -> str:
        """Where file dialogs begin: beside the open job."""
        return self.opening.folder

    # --- looking

    def select(self, key: str, number: int = 1) -> None:
        """Select a visit on the board, and with it everywhere."""
        if self.board is not None:
            self.board.select(key, number)

    def _selected(self, key: str) -> None:
        seen = self.looking.seen
        if seen is not None and self.board is not None:
            for view in self.pages.values():
                view.select(key)
            self.board.set_limits(seen.limits(key or None))
            self.details.show_operation(seen, key or None)
            self.hands.enable()

    def _activated(self, _key: str) -> None:
        self.details.words.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, finding: Finding) -> None:
        """Show on the board what a finding is about."""
        if self.board is None:
            return
        self.views.show("board")
        if not self.board.go_to(finding.place, finding.slot) and finding.slot is not None:
            self.board.show_slot(finding.slot)

    def tell(self, words: object) -> None:
        """Say something that happened in the status bar."""
        self.statusBar().showMessage(str(words))

    # --- leaving

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow():
            self.outside.look()
        if event.type() is QEvent.Type.ThemeChange and QGuiApplication.instance() and self.settings.theme == "system":
            self.looks.apply_theme()

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.leaving.may_leave():
            event.ignore()
            return
        self.settings.geometry = self.saveGeometry()
        keep_look(self)
        keep_panes(self)
        if self.board is not None:
            self.settings.side_px = round(self.split.sizes()[1] / self.settings.text_size.scale)
        self.by_the_clock.close()
        self.recovery.end()
        self.read_only.end()
        self.outside.close()
        self.planning.close()
        self.hands.close()
        self.editor.close()
        for view in self.pages.values():
            view.close_all()
        for part in (self.opening, self.plan_opening, self.offers, self.issue_forecast, self.own_forecast):
            part.asker.close()
        self.saver.asker.close()
        self.details.asker.close()
        super().closeEvent(event)
