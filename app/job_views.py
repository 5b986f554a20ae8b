"""The views of a job beside the board, in the order of the switch, and what ties them to the window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from app.closures.view import ClosuresView
from app.job_setup.new_job_dialog import ask_new_job
from app.job_setup.view import JobSetupView
from app.job_view import JobView
from app.replan.view import ReplanView
from app.risk.view import RiskView
from app.shift_sheet.view import ShiftSheetView
from app.site_record.view import SiteRecordView
from app.table_view.view import TableView
from app.weather.view import WeatherView
from planner.findings import Finding

if TYPE_CHECKING:
    from app.window import MainWindow

Entry = tuple[str, str, JobView]
"""A view's name in code, its words, and its page."""


def make_views(window: MainWindow) -> tuple[Entry, ...]:
    """Return the window's views beside the board, tied to it; their keys are Ctrl+2 and on, in this order."""
    weather = WeatherView(window.kit, window.settings)
    record = SiteRecordView()
    record.rest_wanted.connect(lambda: window.runs.start_rest())
    record.issue_wanted.connect(window.issuing.ask)
    replan = ReplanView(window.kit, window.settings, weather.files, lambda: weather.tried)
    replan.issue_wanted.connect(window.issuing.ask)
    replan.outlines_wanted.connect(lambda plan: window.board and window.board.set_ghosts(plan.placements))
    risk = RiskView(window.kit)
    risk.least_sure_changed.connect(lambda keys: window.board and window.board.set_doubtful(keys))
    window.welcome.new_wanted.connect(partial(ask_new_job, window))
    setup = JobSetupView(window.kit)
    window.editor.refused.connect(setup.show_refusal)
    entries: tuple[Entry, ...] = (
        ("weather", "Weather", weather),
        ("sheet", "Shift sheet", ShiftSheetView()),
        ("record", "Site record", record),
        ("closures", "Closures", ClosuresView(window.kit, window.settings)),
        ("replan", "Replan", replan),
        ("risk", "Risk", risk),
        ("setup", "Job set-up", setup),
        ("table", "Table", TableView(window.kit)),
    )
    for _name, _words, view in entries:
        tie(window, view)
    return entries


def tie(window: MainWindow, view: JobView) -> None:
    """Let the window do what a view asks for."""
    view.operation_wanted.connect(lambda key: window.go_to(Finding("wanted", key, "", "")))
    view.operation_selected.connect(window.select)
    view.finding_wanted.connect(window.go_to)
    view.told.connect(window.tell)
    view.step_wanted.connect(window.take_step)
    view.look_wanted.connect(window.looking.begin)
    quiet = isinstance(view, JobSetupView)
    view.change_wanted.connect(partial(window.editor.change, quiet=quiet))
