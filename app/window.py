"""The main window: header, board, details and findings, and the pages that stand in for them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QLabel,
    QMainWindow,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.banner import Banner
from app.board.kit import Kit
from app.board.rows import Density
from app.board.view import BoardView
from app.details import DetailsPanel
from app.findings_panel import FindingsPanel
from app.header import Header
from app.moving import Mover
from app.pages import FaultsPage, WaitPage, WelcomePage, sample_jobs
from app.palette import make_palette, style_sheet, theme_for
from app.planning import Planning
from app.reason_words import named
from app.saving import Saver
from app.session import Session, open_session
from app.settings import Settings
from app.solving import WORKER, End, Outcome
from app.status_words import forecast_words, plan_words, progress_words
from app.tasks import Asker
from app.views import Views
from app.weather.hook import WeatherHook
from app.window_menus import add_menus
from planner.findings import Finding
from planner.solve.messages import Progress

_SIDE_PX, _SIDE_WIDE_PX, _WIDE_PX = 316, 400, 1700
_MINUTE_MS = 60_000
Clock = Callable[[], datetime]


class MainWindow(QMainWindow):
    """Shows one job; `command` is the solving process, `clock` the time now (both given otherwise in tests)."""

    def __init__(
        self, settings: Settings, command: Sequence[str] = WORKER, clock: Clock = lambda: datetime.now(UTC)
    ) -> None:
        super().__init__()
        self.settings = settings
        self.session: Session | None = None
        self._before_run: Session | None = None
        self.board: BoardView | None = None
        self._clock = clock
        self._path: Path | None = None
        self.kit = Kit(theme_for(settings.theme))
        self._opener = Asker(self)
        self._opener.answered.connect(self._opened)
        self._opener.failed.connect(self._not_opened)
        self.planning = Planning(self, command)
        self.planning.planned.connect(self.take)
        self.planning.progressed.connect(self._progressed)
        self.planning.ended.connect(self._ended)
        self.planning.refused.connect(self.tell)
        self.mover = Mover(self)
        self.mover.stack.indexChanged.connect(lambda _index: self._enable())
        self._build()
        self.saver = Saver(self)
        self.saver.told.connect(self.tell)
        self.actions_by_name = add_menus(self)
        self.stack.currentChanged.connect(lambda _index: self._enable())
        self.apply_theme()
        self._minute = QTimer(self, interval=_MINUTE_MS)
        self._minute.timeout.connect(self._tick)
        self._minute.start()
        self.show_welcome()
        if not self.restoreGeometry(settings.geometry):
            self.resize(1366, 768)

    # --- parts

    def _build(self) -> None:
        self.header = Header()
        self.header.chosen_aim = self.settings.aim
        self.header.seconds.setValue(self.settings.seconds)
        self.header.plan_wanted.connect(self.plan)
        self.header.cancel_wanted.connect(self.planning.cancel)
        self.banner = Banner(self.kit.theme)
        self.welcome, self.faults, self.wait = WelcomePage(self.kit), FaultsPage(), WaitPage("Reading")
        self.welcome.wanted.connect(self.open_job)
        self.welcome.asked.connect(self.choose_job)
        self.faults.again.connect(self.reopen)
        self.details = DetailsPanel(self.kit)
        self.findings = FindingsPanel(self.kit.theme)
        self.findings.chosen.connect(self.go_to)
        side = QSplitter(Qt.Orientation.Vertical, objectName="side")
        side.addWidget(self.details)
        side.addWidget(self.findings)
        side.setSizes([470, 150])
        side.setChildrenCollapsible(False)
        side.setHandleWidth(1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.addWidget(QWidget())
        self.split.addWidget(side)
        self.split.setStretchFactor(0, 1)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(1)
        self.weather = WeatherHook(self).view
        self.stack = QStackedWidget()
        for page in (self.welcome, self.wait, self.faults):
            self.stack.addWidget(page)
        self.views = Views(self.stack, self.header.views)
        self.views.add("board", "Board", "Ctrl+1", self.split)
        self.views.add("weather", "Weather", "Ctrl+2", self.weather)
        middle = QWidget()
        layout = QVBoxLayout(middle)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.header)
        layout.addWidget(self.banner)
        layout.addWidget(self.stack, 1)
        self.setCentralWidget(middle)
        self.forecast = QLabel("")
        self.forecast.setContentsMargins(0, 0, 12, 0)
        self.statusBar().addPermanentWidget(self.forecast)
        self.statusBar().setSizeGripEnabled(False)

    # --- look

    def set_theme(self, choice: str) -> None:
        """Use the system's, the light or the dark colours from now on."""
        self.settings.theme = choice
        self.apply_theme()

    def apply_theme(self) -> None:
        """Give everything the colours of the chosen theme."""
        theme = theme_for(self.settings.theme)
        self.kit = Kit(theme)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.setPalette(make_palette(theme))
        self.setStyleSheet(style_sheet(theme))
        self.welcome.set_kit(self.kit)
        self.details.set_kit(self.kit)
        self.findings.set_theme(theme)
        self.banner.set_theme(theme)
        self.weather.set_kit(self.kit)
        if self.board is not None:
            self.board.set_kit(self.kit)

    def set_density(self, choice: str) -> None:
        self.settings.density = Density(choice) if choice else None
        if self.board is not None:
            self.board.set_density(self.settings.density)

    def turn_legend(self) -> None:
        self.settings.legend = not self.settings.legend
        if self.board is not None:
            self.board.set_legend(self.settings.legend)

    def turn_ribbons(self) -> None:
        self.settings.ribbons_folded = not self.settings.ribbons_folded
        if self.board is not None:
            self.board.set_ribbons_folded(self.settings.ribbons_folded)

    def next_panel(self) -> None:
        board = (self.board, self.details.words, self.findings.list)
        ring = [one for one in (*board, *self.weather.panels) if one and one.isVisible()]
        at = next((i for i, widget in enumerate(ring) if widget.hasFocus()), -1)
        if ring:
            ring[(at + 1) % len(ring)].setFocus(Qt.FocusReason.ShortcutFocusReason)

    # --- opening

    def show_welcome(self) -> None:
        """Show what the program is for."""
        self.welcome.show_jobs(sample_jobs(), [path for path in map(Path, self.settings.recent) if path.is_file()])
        self.header.job.setText("Liftgap")
        self.header.status.setText("No job is open")
        self.setWindowTitle("Welcome")
        self._enable()
        self.stack.setCurrentWidget(self.welcome)

    def choose_job(self) -> None:
        """Let the user choose a job file."""
        name, _ = QFileDialog.getOpenFileName(self, "Open a job", self.folder, "Jobs (*.toml);;All files (*)")
        if name:
            self.open_job(Path(name))

    def reopen(self) -> None:
        """Read the open job's file again."""
        if self._path is not None:
            self.open_job(self._path)

    def open_job(self, path: Path | str) -> None:
        """Read a job off the window's thread; its board or its faults are shown when that is done."""
        self._path = Path(path)
        where = self._path
        self.planning.drop()
        self.banner.hide()
        self.wait.show_path(where)
        self.stack.setCurrentWidget(self.wait)
        self.setWindowTitle(where.name)
        self.header.job.setText(where.name)
        self.header.status.setText("Reading …")
        self._enable()
        self._opener.ask(lambda: open_session(where))

    def _opened(self, session: Session) -> None:
        self.settings.remember(str(session.loaded.path.resolve()))
        self.session = session
        board = BoardView(session.facts, self.kit)
        board.set_density(self.settings.density)
        board.set_legend(self.settings.legend)
        board.set_ribbons_folded(self.settings.ribbons_folded)
        board.selected.connect(self._selected)
        board.activated.connect(self._activated)
        self.mover.attach(board)
        time = session.facts.time
        board.set_clock(lambda: time.minutes_of(self._clock()) / 15)
        old, self.board = self.split.widget(0), board
        self.split.replaceWidget(0, board)
        old.deleteLater()
        side = self.settings.side_px or (_SIDE_PX if self.width() < _WIDE_PX else _SIDE_WIDE_PX)
        self.split.setSizes([max(400, self.width() - side), side])
        self.details.show_operation(session, None)
        self.findings.show_session(session)
        self.header.job.setText(session.loaded.job.job.name)
        self.setWindowTitle(session.loaded.job.job.name)
        self.forecast.setText(forecast_words(session))
        self.weather.show_session(session)
        self.weather.set_now(board.look.now)
        self.views.set_focus("board", board)
        self.views.show("board")
        self.plan()

    def _not_opened(self, error: Exception) -> None:
        self.session = None
        path = self._path or Path()
        self.faults.show_error(error, path)
        self.header.status.setText("Not opened")
        self.forecast.setText("")
        self._enable()
        self.stack.setCurrentWidget(self.faults)

    # --- planning

    def plan(self) -> None:
        """Look for a plan; the best so far is shown as it comes."""
        if self.session is None or self.planning.busy:
            return
        self.settings.aim = self.header.chosen_aim
        self.settings.seconds = self.header.seconds.value()
        self.banner.hide()
        self._before_run = self.session
        self.header.set_progress(0, self.settings.seconds)
        self.header.status.setText("Planning …")
        self.planning.start(self.session, self.settings.aim, self.settings.seconds)
        self._enable()

    def take(self, session: Session) -> None:
        """Show the same job with another plan, or on another forecast."""
        if self.session is not None and session.loaded is not self.session.loaded:
            self.mover.clear()
        self.session = session
        if self.board is not None:
            self.board.set_facts(session.facts)
            self.details.show_operation(session, self.board.look.selected)
        self.findings.show_session(session)
        self.weather.renew_session(session)
        self._enable()

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

    def _progressed(self, progress: Progress) -> None:
        self.header.set_progress(progress.seconds, self.settings.seconds)
        if self.session is not None:
            words = progress_words(progress, self.settings.seconds, self.settings.aim, self.session)
            self.header.status.setText(words)

    def _ended(self, outcome: Outcome) -> None:
        if self.session is not None:
            self.header.status.setText(plan_words(self.session, outcome))
            self._make_step(self._before_run, self.session)
        self._before_run = None
        self.tell(f"Planning: {outcome}")
        if outcome.end is not End.PLAN:
            kept = " The plan shown is from before." if self.session and self.session.plan else ""
            head = f"{str(outcome)[0].upper()}{str(outcome)[1:]}"
            said = any(reason.startswith(head) for reason in outcome.reasons[:1])
            lines = outcome.reasons if said and not kept else (f"{head}.{kept}", *outcome.reasons)
            self.banner.say([named(self.session, line) for line in lines] if self.session else lines)
        self._enable()

    def _make_step(self, before: Session | None, after: Session) -> None:
        """Let undo bring back the plan that a run has put another in the place of."""
        if before is not None and before is not after and before.plan is not None and before.loaded is after.loaded:
            self.mover.push("new plan", before, after)

    def _enable(self) -> None:
        """Allow what can be done now."""
        ready, busy = self.session is not None and self.stack.currentWidget() is not self.wait, self.planning.busy
        self.header.set_busy(busy, ready)
        has_plan = self.session is not None and self.session.plan is not None
        idle = not busy and self.stack.currentWidget() is self.split
        for name, able in (
            ("save", has_plan),
            ("pdf", ready),
            ("png", ready),
            ("undo", idle and self.mover.stack.canUndo()),
            ("redo", idle and self.mover.stack.canRedo()),
            ("plan", ready and not busy),
            ("stop", busy),
            *((name, ready) for name in self.views.names),
        ):
            self.actions_by_name[name].setEnabled(able)
        self.actions_by_name["undo"].setText(f"&Undo {self.mover.stack.undoText()}".strip())
        self.actions_by_name["redo"].setText(f"&Redo {self.mover.stack.redoText()}".strip())
        if self.board is not None:
            self.board.movable = has_plan and not busy
        self.views.enable(ready)

    @property
    def folder(self) -> str:
        """Where file dialogs begin: beside the open job."""
        return str(self._path.parent) if self._path is not None else ""

    # --- looking

    def _selected(self, key: str) -> None:
        if self.session is not None and self.board is not None:
            self.weather.select(key)
            self.board.set_limits(self.session.limits(key or None))
            self.details.show_operation(self.session, key or None)

    def _activated(self, _key: str) -> None:
        self.details.words.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, finding: Finding) -> None:
        """Show on the board what a finding is about."""
        if self.board is None:
            return
        self.views.show("board")
        if not self.board.go_to(finding.place, finding.slot) and finding.slot is not None:
            self.board.show_slot(finding.slot)

    def _tick(self) -> None:
        if self.board is not None:
            self.board.tick()
            self.weather.set_now(self.board.look.now)

    def tell(self, words: object) -> None:
        """Say something that happened in the status bar."""
        self.statusBar().showMessage(str(words))

    # --- leaving

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.ThemeChange and QGuiApplication.instance() and self.settings.theme == "system":
            self.apply_theme()

    def closeEvent(self, event: QCloseEvent) -> None:
        self.settings.geometry = self.saveGeometry()
        if self.board is not None:
            self.settings.side_px = self.split.sizes()[1]
        self._minute.stop()
        self.planning.close()
        self.mover.close()
        self.weather.close_all()
        for asker in (self._opener, self.saver.asker, self.details.asker):
            asker.close()
        super().closeEvent(event)
