"""The risk view: chances of gaps and reopenings, the least sure first, and when a waiting gang is done."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFileDialog, QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.board.kit import Kit
from app.job_view import JobView
from app.layouts import ACROSS, parted, stack_up
from app.risk.bar import RiskBar
from app.risk.chance_table import ChanceTable
from app.risk.finish_chart import FinishChart
from app.risk.rows import finish_words, least_sure, risk_rows, summary_lines
from app.risk.working import RiskFound, work_out
from app.session import Session
from app.tasks import Asker
from app.weather.faults_box import FaultsBox

_SIDE_PX = 420
_TEACH = (
    "Press Work out: the plan is held against many weathers that its forecast might turn into, and every gap and "
    "every reopening is listed with its chance, the least sure first: at the times planned, and by a gang that waits."
)
_NO_PLAN = "There is no plan yet; plan first (F5)."


class RiskView(JobView):
    """Works out off the window's thread; shows what was worked out last, and says when it is of another plan."""

    least_sure_changed = Signal(tuple)
    """Keys of operations to be marked on the board."""

    def __init__(self, kit: Kit, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session: Session | None = None
        self.found: RiskFound | None = None
        self.asker = Asker(self)
        self.folder = ""
        self._slot: float | None = None
        self._build(kit)
        self._connect()
        self.setAccessibleName("Risk")

    def _build(self, kit: Kit) -> None:
        self.bar, self.faults = RiskBar(), FaultsBox()
        self.table, self.chart = ChanceTable(kit.theme), FinishChart(kit.theme)
        self.teach = QLabel(_TEACH, objectName="quiet", wordWrap=True)
        self.teach.setContentsMargins(14, 12, 14, 8)
        self.teach.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.title = QLabel("When a gang that waits is done", objectName="panelTitle")
        self.title.setContentsMargins(14, 9, 8, 3)
        self.words = QLabel("", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.words.setContentsMargins(14, 6, 14, 8)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.title, self.chart, self.words):
            column.addWidget(widget)
        column.addStretch(1)
        self.side = QScrollArea(widgetResizable=True, accessibleName="Finish, and what the chances are of")
        self.side.setFrameShape(QFrame.Shape.NoFrame)
        self.side.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.side.setWidget(side)
        self.middle = parted(ACROSS, (self.table, self.side), (940, _SIDE_PX), grows=0)
        stack_up(self, self.bar, self.faults, self.teach, self.middle, grows=self.middle).addStretch(0)
        self.faults.hide()

    def _connect(self) -> None:
        self.bar.work.clicked.connect(self.work_out)
        self.bar.open.clicked.connect(self.choose_file)
        self.bar.marked.connect(lambda _on: self._tell_least_sure())
        self.table.wanted.connect(self.operation_wanted)
        self.asker.answered.connect(self._worked_out)
        self.asker.failed.connect(self._not_worked_out)

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """What takes the keys, in the order of the "next panel" key."""
        return self.bar.work, self.table

    def set_kit(self, kit: Kit) -> None:
        """Use another theme."""
        self.table.set_theme(kit.theme)
        self.chart.set_theme(kit.theme)

    def close_all(self) -> None:
        """Drop all that goes on; the window shuts."""
        self.asker.close()

    # --- session

    def show_session(self, session: Session) -> None:
        """Show a job that was just opened: nothing is worked out yet."""
        self.asker.forget()
        self.faults.hide()
        self.found = None
        self.folder = str(session.loaded.path.parent)
        self.bar.forget_files()
        self.renew_session(session)

    def renew_session(self, session: Session) -> None:
        """Show the same job with another plan or forecast; the chances stay, and are said to be of the one before."""
        self.session = session
        self.renew_seen()
        self._tell_least_sure()

    # --- working out

    def work_out(self) -> None:
        """Work out the chances of the plan shown."""
        session, ask = self.session, self.bar.ask
        if session is None or session.plan is None or not session.plan.placements:
            return
        plan, now = session.plan, self._now
        self.faults.hide()
        self.bar.work.setEnabled(False)
        count = "the members of the file" if ask.file else f"{ask.members:,} weathers"
        self.bar.status.setText(f"Holding the plan against {count} …")
        self.asker.ask(lambda: work_out(session, plan, ask, now))

    def choose_file(self) -> None:
        """Let the user choose an ensemble forecast."""
        kinds = "Forecasts (*.json);;All files (*)"
        name, _ = QFileDialog.getOpenFileName(self, "Members from a file", self.folder, kinds)
        if name:
            self.open_file(Path(name))

    def open_file(self, path: Path) -> None:
        """Work out the chances over the members of a file."""
        self.bar.add_file(path)
        self.work_out()

    def _worked_out(self, found: RiskFound) -> None:
        self.found = found
        self.bring_up_to_date()
        self.told.emit(f"Chances over {found.risk.members:,} members are worked out")
        self._tell_least_sure()

    def _not_worked_out(self, error: Exception) -> None:
        self.faults.show_error(error, "The chances stay as they were.")
        self.bring_up_to_date()

    def set_now(self, slot: float | None) -> None:
        self._slot = slot

    @property
    def _now(self) -> int | None:
        """The slot that is now; None outside the job's days."""
        inside = self._slot is not None and self.session is not None and 0 <= self._slot <= self.session.facts.horizon
        return int(self._slot) if inside and self._slot is not None else None

    @property
    def is_stale(self) -> bool:
        """Whether the chances are of another plan or forecast than the one shown."""
        found, session = self.found, self.session
        if found is None or session is None:
            return False
        return found.plan is not session.plan or found.session.loaded.weather is not session.loaded.weather

    # --- showing

    def bring_up_to_date(self) -> None:
        session, found = self.session, self.found
        has_plan = session is not None and session.plan is not None and bool(session.plan.placements)
        self.bar.work.setEnabled(has_plan and not self.asker.busy)
        self.teach.setText(_TEACH if has_plan else _NO_PLAN)
        self.teach.setVisible(found is None)
        self.middle.setVisible(found is not None)
        if found is None:
            self.bar.status.setText("")
            return
        lines = summary_lines(found)
        self.table.show_rows(risk_rows(found))
        self.words.setText("\n".join(lines))
        self.chart.show_finish(
            found.session.facts.time, found.risk.finish, found.risk.planned_finish, finish_words(found)
        )
        stale = "Of the plan or forecast before: work out again.  " if self.is_stale else ""
        self.bar.status.setText(f"{stale}{found.risk.words}")

    def _tell_least_sure(self) -> None:
        wanted = self.bar.mark.isChecked() and self.found is not None and not self.is_stale
        self.least_sure_changed.emit(least_sure(self.found) if wanted and self.found is not None else ())
