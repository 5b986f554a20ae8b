"""The Weather view: chart and table of one forecast, changed by hand, and what the standing plan makes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QUndoStack
from PySide6.QtWidgets import QWidget

from app.board.kit import Kit
from app.findings_panel import FindingsPanel
from app.job_view import JobView
from app.layouts import ACROSS, DOWN, parted, stack_up
from app.session import Session
from app.settings import Settings
from app.tasks import Asker
from app.weather.bar import WeatherBar
from app.weather.bringing import Bringing
from app.weather.chart import WeatherChart
from app.weather.chart_data import ChosenLimits
from app.weather.compare import difference, difference_words, first_difference, new_findings
from app.weather.edit_commands import ChangeForecast
from app.weather.faults_box import FaultsBox
from app.weather.groups import SurfaceGroup, surface_groups
from app.weather.hour_view import HourView
from app.weather.keeping import Keeping
from app.weather.limits_choice import operation_limits, product_limits
from app.weather.make_chart import broken_operations, chart_data
from app.weather.outlook import Outlook, surfaces_of, work_out
from app.weather.shift_dialog import ShiftDialog, shift_words, usual_stretch
from app.weather.snapshot import EditError, Snapshot, as_loaded, as_read, shifted, with_cell
from app.weather.table_model import HourTable
from app.weather.time_words import hour_words, index_at
from app.weather.user_files import UserFiles
from app.weather.view_words import WEATHER_KEYS, breaks_words, source_words
from planner.model import Plan
from planner.weather.series import HourlySeries, same_weather

_SIDE_PX = 316
_KEPT = "The forecast stays as it was."


class WeatherView(JobView):
    """Asks nobody: the window sets the session, and listens to what is wanted."""

    keys = WEATHER_KEYS
    own_undo = True

    def __init__(self, kit: Kit, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session: Session | None = None
        self.snapshot: Snapshot | None = None
        self.groups: tuple[SurfaceGroup, ...] = ()
        self.standing: Outlook | None = None
        self.outlook: Outlook | None = None
        self.limits = ChosenLimits()
        self._plan: Plan | None = None
        self.breaks_shown: Outlook | None = None
        self.undo = QUndoStack(self)
        self.worker = Asker(self)
        self.files = UserFiles()
        self.keeping = Keeping(self, self.files)
        self.bringing = Bringing(self, settings, self.files)
        self.shift_dialog: ShiftDialog | None = None
        self._build(kit)
        self._connect()
        self.setAccessibleName("Weather")

    # --- parts

    def _build(self, kit: Kit) -> None:
        self.bar = WeatherBar(self.undo)
        self.faults = FaultsBox()
        self.chart = WeatherChart(kit)
        self.model = HourTable(self)
        self.model.set_theme(kit.theme)
        self.table = HourView(self.model)
        self.breaks = FindingsPanel(kit.theme, mends=False)
        self.breaks.list.setAccessibleName("What breaks on this forecast")
        over = parted(DOWN, (self.chart, self.table), (420, 220))
        beside = parted(ACROSS, (over, self.breaks), (1050, _SIDE_PX), grows=0)
        stack_up(self, self.bar, self.faults, beside, grows=beside)

    def _connect(self) -> None:
        self.bar.open.clicked.connect(self.bringing.choose_file)
        self.bar.ask.clicked.connect(self.bringing.ask_service)
        self.bar.shift.clicked.connect(self.ask_shift)
        self.bar.save.clicked.connect(self.save_as)
        self.bar.use.clicked.connect(self.use)
        self.bar.limits_chosen.connect(self._choose_limits)
        self.model.typed.connect(self.type_cell)
        self.table.selectionModel().currentRowChanged.connect(self._row_changed)
        self.chart.hour_chosen.connect(self.table.go_to_row)
        self.chart.operation_chosen.connect(self.operation_wanted)
        self.chart.operation_selected.connect(self.select)
        self.breaks.chosen.connect(self.finding_wanted)
        self.worker.answered.connect(self._worked_out)
        self.worker.failed.connect(self._not_worked_out)
        self.bringing.brought.connect(self._brought)
        self.bringing.failed.connect(self._not_brought)
        self.bringing.told.connect(self.told)
        self.keeping.used.connect(self._used)
        self.keeping.failed.connect(self._not_used)
        self.keeping.told.connect(self.told)

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.chart.set_kit(kit)
        self.model.set_theme(kit.theme)
        self.breaks.set_theme(kit.theme)
        self._say()

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.bringing.close()
        for asker in (self.worker, self.keeping.asker):
            asker.close()

    # --- session

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened: its own forecast, nothing changed."""
        self.keeping.asker.forget()
        self.faults.hide()
        self.undo.clear()
        self.limits = ChosenLimits()
        self.bringing.set_job(session.loaded.job, str(session.loaded.path.parent))
        self.groups = surface_groups(session.loaded.job)
        self.snapshot = as_loaded(session.loaded)
        self.bar.set_products(product_limits(session))
        self.renew_session(session)
        self.bring_up_to_date()
        time = session.facts.time
        first = index_at(session.loaded.series, time.local(session.facts.span[0]))
        self.table.go_to_row(min(max(0, first), session.loaded.series.hours - 1))

    def renew_session(self, session: Session) -> None:
        """Show the same job with another plan or standing forecast; what was changed by hand or opened stays."""
        loaded, followed = session.loaded, self.is_standing
        self.session = session
        surfaces = surfaces_of(loaded.weather, self.groups)
        self.standing = Outlook(loaded.series, loaded.weather, surfaces, session.findings)
        if self.snapshot is not None:
            self._show(as_loaded(loaded) if followed and not self.is_standing else self.snapshot)

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key."""
        return self.chart, self.table, self.breaks.list

    def set_now(self, slot: float | None) -> None:
        """Mark the time that is now, in slots."""
        self.chart.set_now(slot)

    def select(self, key: str) -> None:
        """Select an operation: its limits are drawn."""
        limits = operation_limits(self.session, key) if self.session and key else None
        self.bar.set_operation(limits)
        self.chart.select(key)
        self.limits = limits or self.bar.chosen
        self.renew_seen()

    @property
    def is_standing(self) -> bool:
        """Whether what is shown is the forecast that the plan stands on."""
        standing, shown = self.standing, self.snapshot
        return standing is None or shown is None or same_weather(standing.series, shown.series)

    @property
    def tried(self) -> HourlySeries | None:
        """The forecast shown, where it is not the plan's; None else, or where it can't carry the job."""
        unusable = self.outlook is not None and bool(self.outlook.faults)
        return None if self.is_standing or self.snapshot is None or unusable else self.snapshot.series

    @property
    def unsaved(self) -> str:
        """Say that the forecast was changed by hand, and is neither under the plan nor in a file of the user's."""
        if not self.is_tried or self.snapshot is None or self.files.of(self.snapshot.series) is not None:
            return ""
        return "The changed forecast is in no file: save it as CSV in the weather view, or use it for the plan."

    @property
    def is_tried(self) -> bool:
        """Whether a forecast was brought or changed here that is neither under the plan nor saved from here."""
        return not (self.is_standing or self.undo.isClean())

    @property
    def changed(self) -> HourlySeries | None:
        """The forecast brought or changed here that is neither under the plan nor saved from here, or None."""
        return self.snapshot.series if self.is_tried and self.snapshot is not None else None

    # --- changes

    def type_cell(self, column: str, hour: int, text: str) -> None:
        """Change one value to what was typed."""
        if self.session is None or self.snapshot is None:
            return
        zone = self.session.facts.time.zone
        when = hour_words(self.snapshot.series, hour, zone)
        self._try(lambda now: with_cell(now, column, hour, text, zone), f"a value at {when}")

    def ask_shift(self) -> None:
        """Let the user say from when until when the forecast is to be warmer or colder, and by how much."""
        if self.session is None or self.snapshot is None:
            return
        series, zone = self.snapshot.series, self.session.facts.time.zone
        first, last = self.table.selected_rows() or usual_stretch(
            self.session, series, self.table.currentIndex().row()
        )
        dialog = ShiftDialog(series, zone, first, last, self)
        dialog.accepted.connect(
            lambda: self._try(lambda now: shifted(now, dialog.shift, zone), shift_words(dialog.shift, series, zone))
        )
        self.shift_dialog = dialog
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def _try(self, change: Callable[[Snapshot], Snapshot], words: str) -> None:
        """Make the changed snapshot and, if it is weather at all, push it."""
        if self.snapshot is None:
            return
        try:
            after = change(self.snapshot)
        except EditError as error:
            self.faults.show_error(error, _KEPT)
            return
        self._push(words, after)

    def _push(self, words: str, after: Snapshot) -> None:
        if self.snapshot is not None:
            self.faults.hide()
            self.undo.push(ChangeForecast(words, self.snapshot, after, self._show))

    # --- reading

    def _brought(self, series: HourlySeries) -> None:
        self._push(f"forecast {series.source}", as_read(series))
        first = None if self.standing is None else first_difference(self.standing.series, series)
        if first is not None and self.isVisible():
            self.table.go_to_row(first)

    def _not_brought(self, error: Exception) -> None:
        self.faults.show_error(error, _KEPT)
        self.told.emit("The new forecast can't be used; the old one stays")

    # --- keeping and using

    def save_as(self) -> None:
        """Write the forecast shown as an hourly CSV."""
        if self.session is None or self.snapshot is None:
            return
        standing = self.session.weather_file if self.is_standing else None
        if self.keeping.save_as(self.snapshot.series, self.bringing.folder, standing):
            self.undo.setClean()

    def use(self) -> None:
        """Let the plan stand on the forecast shown, and audit it anew."""
        if self.session is not None and self.snapshot is not None and not self.is_standing:
            self.bar.use.setEnabled(False)
            self.keeping.use(self.session, self.snapshot.series)

    def _used(self, session: Session) -> None:
        self.step_wanted.emit("forecast under the plan", session)
        self.told.emit("The plan now stands on this forecast; F5 plans on it")

    def _not_used(self, error: Exception) -> None:
        self.faults.show_error(error, "The plan stays on its forecast.")
        self._say()

    # --- showing

    def _show(self, snapshot: Snapshot) -> None:
        """Show a snapshot at once, and work out off the window's thread what follows from it."""
        self.snapshot = snapshot
        session = self.session
        if session is None:
            return
        if self.is_standing:
            self.worker.forget()
            self.outlook = self.standing
        elif self.outlook is None or self.outlook.series is not snapshot.series or self._plan is not session.plan:
            job, groups, plan, series = session.loaded.job, self.groups, session.plan, snapshot.series
            self.worker.ask(lambda: work_out(job, groups, plan, series))
        self._plan = session.plan
        self.renew_seen()

    def _worked_out(self, outlook: Outlook) -> None:
        self.outlook = outlook
        self.bring_up_to_date()
        if outlook.faults:
            self.told.emit("This forecast can't carry the job; see the list")

    def _not_worked_out(self, error: Exception) -> None:
        self.faults.show_error(error, "What it means for the plan could not be worked out.")

    @property
    def _is_stale(self) -> bool:
        """Whether what was worked out is of an earlier state."""
        shown = self.snapshot.series if self.snapshot else None
        return not self.is_standing and (self.outlook is None or self.outlook.series is not shown)

    def bring_up_to_date(self) -> None:
        if self.session is None or self.snapshot is None or self.standing is None:
            return
        outlook, stale = self.outlook or self.standing, self._is_stale
        other = None if self.is_standing else self.standing.series
        data = chart_data(self.session, self.snapshot.series, other, self.groups, outlook, self.limits, stale)
        self.chart.set_data(data)
        self.table.show_snapshot(self.snapshot, data)
        self._say()

    def _say(self) -> None:
        """Say what is shown, how it differs, and what breaks."""
        if self.session is None or self.snapshot is None or self.standing is None:
            return
        standing, zone = self.standing, self.session.facts.time.zone
        self.bar.source.setText(source_words(self.snapshot, zone, self.is_standing))
        apart = "" if self.is_standing else difference_words(difference(standing.series, self.snapshot.series))
        self.bar.apart.setText(apart)
        self.bar.apart.setVisible(bool(apart))
        stale = self._is_stale
        self.bar.use.setEnabled(not (self.is_standing or stale or (self.outlook and self.outlook.faults)))
        outlook = standing if self.is_standing or self.outlook is None else self.outlook
        if self.breaks_shown is not outlook and not stale:
            self.breaks_shown = outlook
            self.breaks.show_session(replace(self.session, findings=outlook.findings))
        fresh = new_findings(standing.breaches, outlook.breaches)
        operations = broken_operations(self.session, outlook)
        title, words = breaks_words(outlook, self.is_standing, stale, len(operations), len(fresh), self.session.plan)
        self.breaks.title.setText(title)
        self.breaks.quiet.setText(words)

    def _choose_limits(self, limits: ChosenLimits) -> None:
        self.limits = limits
        self.bring_up_to_date()

    def _row_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        data = self.chart.data
        if data is not None and 0 <= current.row() < len(data.hours_at):
            slot = float(data.hours_at[current.row()])
            self.chart.set_cursor(slot)
            self.chart.show_slot(slot)
