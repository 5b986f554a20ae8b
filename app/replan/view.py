"""The replan view: a new forecast, what breaks on it, and the ways out, each a plan that can be taken."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from app.board.kit import Kit
from app.job_view import JobView
from app.layouts import ACROSS, DOWN, parted, stack_up
from app.reason_words import named
from app.replan.bar import ReplanBar
from app.replan.choices import (
    BaseChoice,
    Footing,
    ForecastChoice,
    base_choices,
    footing,
    forecast_choices,
    forecast_folder,
    suggested_now,
    taken,
)
from app.replan.foot import ReplanFoot
from app.replan.lines_list import LinesList
from app.replan.printing import Printing, replan_paper
from app.replan.replanning import WORKER, End, Replanning
from app.replan.rows import TEACH, break_lines, breaks_heading, move_lines, moves_heading, way_rows
from app.replan.ways_table import WaysTable
from app.session import Session
from app.settings import Settings
from app.sheets.compose_replan import ReplanPaper
from app.site_record.typed import TypedError
from app.tasks import Asker
from app.weather.bringing import Bringing
from app.weather.faults_box import FaultsBox
from app.weather.user_files import UserFiles
from planner.replan.messages import Looking
from planner.replan.sights import Sight, WaySight
from planner.weather.series import HourlySeries

_SIDE_PX = 430


class ReplanView(JobView):
    """Looks for ways out in a child process; a plan that is taken is a step of undo."""

    issue_wanted = Signal()
    """The plan just taken is to be issued."""

    outlines_wanted = Signal(object)
    """The `Plan` whose work is to be outlined on the board where it stood."""

    def __init__(
        self,
        kit: Kit,
        settings: Settings,
        files: UserFiles,
        tried: Callable[[], HourlySeries | None] = lambda: None,
        command: Sequence[str] = WORKER,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.session: Session | None = None
        self.sight: Sight | None = None
        self.footing: Footing | None = None
        self._tried = tried
        self._opened: HourlySeries | None = None
        self._slot: float | None = None
        self._typed = False
        self._looking, self._ended, self._forecast = "", True, ""
        self.replanning = Replanning(self, command)
        self.bringing = Bringing(self, settings, files)
        self.starter, self.taker, self.printing = Asker(self), Asker(self), Printing(self)
        self._build(kit)
        self._connect()
        self.setAccessibleName("Replan")

    # --- parts

    def _build(self, kit: Kit) -> None:
        self.bar, self.faults = ReplanBar(), FaultsBox()
        self.breaks = LinesList(kit.theme, "What breaks")
        self.table = WaysTable(kit.theme)
        self.moves = LinesList(kit.theme, "What moves")
        self.foot = ReplanFoot()
        self.take, self.issue, self.paper = self.foot.take, self.foot.issue, self.foot.paper
        right = parted(DOWN, (self.table, self.moves), (310, 250))
        middle = parted(ACROSS, (self.breaks, right), (_SIDE_PX, 900), grows=1)
        stack_up(self, self.bar, self.faults, middle, self.foot, grows=middle)
        self.faults.hide()

    def _connect(self) -> None:
        self.bar.open.clicked.connect(self.bringing.choose_file)
        self.bar.find.clicked.connect(self.find)
        self.bar.stop.clicked.connect(self.replanning.cancel)
        self.bar.now.typed.connect(self._now_typed)
        self.bar.now.misread.connect(self._misread)
        self.bar.chosen.connect(self._suggest_now)
        self.bringing.brought.connect(self._brought)
        self.bringing.failed.connect(self._not_brought)
        self.bringing.told.connect(self.told)
        self.starter.answered.connect(self._start)
        self.starter.failed.connect(self._not_done)
        self.replanning.seen.connect(self._seen)
        self.replanning.looking.connect(self._looked)
        self.replanning.ended.connect(self._over)
        self.table.way_chosen.connect(lambda _name: self._show_moves())
        for lines in (self.breaks, self.moves):
            lines.wanted.connect(self.operation_wanted)
        self.foot.look.clicked.connect(self._look)
        self.take.clicked.connect(lambda: self._take(self._taken))
        self.issue.clicked.connect(lambda: self._take(self._taken_and_issued))
        self.paper.clicked.connect(self._print)
        self.printing.told.connect(self.told)
        self.taker.answered.connect(lambda found: found[0](*found[1:]))
        self.taker.failed.connect(self._not_done)

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key."""
        return self.bar.find, self.breaks.list, self.table, self.moves.list

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        for part in (self.breaks, self.table, self.moves):
            part.set_theme(kit.theme)

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.replanning.close()
        self.bringing.close()
        for asker in (self.starter, self.taker, self.printing.asker):
            asker.close()

    # --- session

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened: nothing is looked for yet."""
        self.replanning.close()
        self.starter.forget()
        self.taker.forget()
        self.faults.hide()
        self.sight = self.footing = self._opened = None
        self._typed, self._looking, self._ended = False, "", True
        self.bringing.set_job(session.loaded.job, str(session.loaded.path.parent))
        self.bar.now.set_time(session.facts.time)
        self.bar.now.set_slot(self._slot or 0)
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        """Show the same job with another plan or forecast; what was found stays until it is looked for again."""
        self.session = session
        self.renew_seen()

    def set_now(self, slot: float | None) -> None:
        """Take the time that is now, unless another one was typed."""
        self._slot = slot
        if self.session is not None and not self._typed and self._ended and (slot is not None or self.sight is None):
            self.bar.now.set_slot(slot or 0)
            self._suggest_now()

    def showEvent(self, event: QShowEvent) -> None:
        """A forecast tried in the Weather view meanwhile can be chosen here."""
        self._late = self._late or self._tried() is not None
        if not self._late:
            self._show(self.table.chosen)
        super().showEvent(event)

    # --- looking for ways out

    def find(self) -> None:  # type: ignore[override]
        """Look for the ways out on what is chosen."""
        session, forecast, base = self.session, self.bar.forecast.currentData(), self.bar.base.currentData()
        if session is None or not isinstance(forecast, ForecastChoice) or not isinstance(base, BaseChoice):
            return
        try:
            now = self.bar.now.slot()
        except TypedError as error:
            self._misread(str(error))
            return
        self.faults.hide()
        self.sight, self._looking, self._ended = None, "", False
        self._show()
        self.bar.status.setText("Putting the plan on this forecast …")
        self._forecast = forecast.words
        self.starter.ask(lambda: footing(session, forecast, base, now, forecast_folder()))

    def _start(self, made: Footing) -> None:
        self.footing = made
        seconds = float(self.bar.seconds.value())
        self.replanning.start(made.session, made.base.plan, made.now, made.weather, made.columns, seconds)
        self._able()

    def _seen(self, sight: Sight) -> None:
        before, best = self.sight.best if self.sight is not None else None, sight.best
        self.sight = sight
        self._show(self.table.chosen if best is None or best is before else best.name)

    def _looked(self, looking: Looking) -> None:
        if self._looking != looking.way:
            self._looking = looking.way
            self._show(self.table.chosen)
        so_far = "" if looking.changed is None else f", {looking.changed:.0f} changed so far"
        words = dict(self.sight.ways).get(looking.way, "") if self.sight is not None else ""
        called = words if self.session is None else named(self.session, words)
        self.bar.status.setText(f"Looking for {called}: {looking.seconds:.0f} s{so_far}")

    def _over(self, end: End) -> None:
        self._ended, self._looking = True, ""
        self._show(self.table.chosen)
        self.bar.status.setText(f"{str(end)[:1].upper()}{str(end)[1:]}")
        if end.outcome != "looked":
            self.faults.show_error(ValueError(" ".join((str(end), *end.reasons[1:]))), "The plan stays as it was.")
        self.told.emit(f"Replanning: {end}")

    # --- a new forecast

    def _brought(self, series: HourlySeries) -> None:
        self.faults.hide()
        self._opened = series
        self._fill_choices(newest=True)
        self._suggest_now()

    def _suggest_now(self) -> None:
        """Where the clock is outside the job's days, take the time that the record or the forecast chosen tells."""
        news = None if self._typed else suggested_now(self.session, self.bar.forecast.currentData(), self._slot)
        if news is not None:
            self.bar.now.set_slot(news[0])
            self.bar.status.setText(news[1])

    def _not_brought(self, error: Exception) -> None:
        self.faults.show_error(error, "The forecast stays as it was.")

    def _now_typed(self) -> None:
        self._typed = True
        self.faults.hide()

    def _misread(self, words: str) -> None:
        self.faults.show_error(ValueError(words), "Nothing is looked for until “Now” can be read.")

    # --- taking a plan

    @property
    def way(self) -> WaySight | None:
        """The way out that is chosen."""
        answers = self.sight.answers if self.sight is not None else ()
        return next((one for one in answers if one.name == self.table.chosen), None)

    def _take(self, then: Callable[[Session, WaySight], object]) -> None:
        """Make the session with the way chosen, off the window's thread, and do with both what is to be done."""
        way, made = self.way, self.footing
        if way is None or way.plan is None or made is None:
            return
        plan = way.plan
        for button in (self.take, self.issue, self.foot.look):
            button.setEnabled(False)
        self.taker.ask(lambda: (then, taken(made, plan), way))

    def _look(self) -> None:
        """Show the way chosen on the board; it is taken only from there, or here."""
        self._take(self._looked_at)

    def _looked_at(self, session: Session, way: WaySight) -> None:
        self._able()
        self.look_wanted.emit(f"way out “{way.words[:80]}”", session, lambda: self._taken(session, way))

    def _taken(self, session: Session, way: WaySight) -> None:
        self.step_wanted.emit(f"replanned: {way.words[:60]}", session)
        change = self.sight.change(way) if self.sight is not None else None
        if self.sight is not None and change is not None and (change.moved or change.appeared):
            self.operation_wanted.emit((*change.moved, *change.appeared)[0].operation)
            self.outlines_wanted.emit(self.sight.base)
        self.told.emit("The plan shown is the one taken, on the forecast it was looked for on; Ctrl+Z goes back")
        self._able()

    def _taken_and_issued(self, session: Session, way: WaySight) -> None:
        self._taken(session, way)
        self.issue_wanted.emit()

    def _not_done(self, error: Exception) -> None:
        self.faults.show_error(error, "The plan stays as it was.")
        self._ended = not self.replanning.busy
        self._able()

    def _print(self) -> None:
        if self.session is not None and self.sight is not None and self.footing is not None:
            self.printing.ask(self.page(self.session, self.sight, self.footing), str(self.session.loaded.path.parent))

    def page(self, session: Session, sight: Sight, made: Footing) -> ReplanPaper:
        """Return what the page of the comparison says."""
        return replan_paper(session, sight, self.way, self._forecast, made.base.words)

    # --- showing

    def bring_up_to_date(self) -> None:
        """Catch up with what changed while nobody looked."""
        if self.session is not None:
            self._fill_choices()
            self._show(self.table.chosen)

    def _fill_choices(self, newest: bool = False) -> None:
        session = self.session
        if session is None:
            return
        forecasts = [(one.words, one) for one in forecast_choices(session, self._tried(), self._opened)]
        self.bar.show_choices(forecasts, [(one.words, one) for one in base_choices(session)], newest)
        if self.sight is None:
            self._suggest_now()
        self._able()

    def _show(self, chosen: str = "") -> None:
        session, sight = self.session, self.sight
        if session is None:
            return
        lines = break_lines(session, sight) if sight is not None else ()
        self.breaks.show_lines(*breaks_heading(session, sight), lines)
        rows = way_rows(session, sight, self._looking, self._ended) if sight is not None else ()
        self.table.show_rows(rows, chosen)
        self.table.setVisible(bool(rows))
        self._show_moves()

    def _show_moves(self) -> None:
        session, sight, way = self.session, self.sight, self.way
        if session is None:
            return
        if sight is None:
            self.moves.show_lines("What moves", TEACH if self._ended else "", ())
        elif way is None:
            self.moves.show_lines("What moves", "Choose a way out: what it moves is listed here.", ())
        else:
            quiet = "" if way.plan is None else "Choose a line to see where it stands now on the board."
            self.moves.show_lines(moves_heading(session, sight, way), quiet, move_lines(session, sight, way))
        self._able()

    def _able(self) -> None:
        way, session, made = self.way, self.session, self.footing
        current = session is not None and made is not None and made.session.loaded.text == session.loaded.text
        can_take = way is not None and way.plan is not None and current and not self.taker.busy
        self.take.setEnabled(can_take)
        self.issue.setEnabled(can_take)
        self.foot.look.setEnabled(can_take)
        self.paper.setEnabled(self.sight is not None)
        self.bar.find.setEnabled(self._ended and self.bar.base.count() > 0)
        self.bar.stop.setEnabled(self.replanning.busy)
        if self.sight is not None and not current:
            self.bar.status.setText("The job has changed since: find the ways out again before you take one.")
