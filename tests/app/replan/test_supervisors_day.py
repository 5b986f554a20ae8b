"""The supervisor's cold night, walked in the window on the main sample job, as its user would.

Steps: open the job, issue the programme; then, on Thursday 8 April at noon, Replan, Open a forecast, Find ways out,
look at what breaks, choose a way, Take and issue it; Risk, Work out. Ten in all.
"""

from __future__ import annotations

import shutil
import sys
from datetime import UTC, datetime
from pathlib import Path

import pypdf
import pytest
from pytestqt.qtbot import QtBot

from app.replan.view import ReplanView
from app.risk.rows import risk_rows
from app.risk.view import RiskView
from app.session import open_session, with_last_issue
from app.settings import Settings
from app.window import MainWindow
from planner.audit.check import Auditor
from planner.findings import Weight
from planner.jobfile.load import load_job
from planner.jobfile.planfile import write_plan
from planner.model import Plan
from planner.solve.run import solve_job
from planner.weather.series import same_weather
from tests.solve.conftest import SAMPLES

WAIT_MS = 60_000
COLD = "harrow_beck_late_thaw.csv"


@pytest.fixture(scope="module")
def main_plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a PLAN.json of the main job, as the solving process would send it."""
    loaded = load_job(SAMPLES / "harrow_beck_viaduct.toml")
    found = solve_job(loaded.job, loaded.weather, seconds=60, trials=10)
    assert found.plan is not None
    path = tmp_path_factory.mktemp("main") / "plan.json"
    write_plan(path, found.plan, loaded.job)
    return path


def test_the_cold_night(qtbot: QtBot, settings: Settings, tmp_path: Path, main_plan: Path) -> None:
    job = Path(shutil.copy(SAMPLES / "harrow_beck_viaduct.toml", tmp_path / "viaduct.toml"))
    shutil.copytree(SAMPLES / "weather", tmp_path / "weather")
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(main_plan))
    window = MainWindow(settings, command, clock=lambda: datetime(2027, 3, 21, 16, 30, tzinfo=UTC))
    qtbot.addWidget(window)
    window.resize(1366, 768)
    window.show()
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.open_job(job)
    issued = _issue(window, qtbot)
    assert window.header.status.text().startswith("Issue 1 of Sun 21 Mar")
    window.actions_by_name["save"].trigger()

    window.clock = lambda: datetime(2027, 4, 8, 11, tzinfo=UTC)  # Thursday noon on the site's clock
    window.by_the_clock.tick()
    window.actions_by_name["replan"].trigger()
    view = window.pages["replan"]
    assert isinstance(view, ReplanView)
    view.bar.seconds.setValue(1)
    with qtbot.waitSignal(view.bringing.brought, timeout=WAIT_MS):
        view.bringing.open_file(tmp_path / "weather" / COLD)
    with qtbot.waitSignal(view.replanning.ended, timeout=WAIT_MS):
        view.bar.find.click()
    sight, way = view.sight, view.way
    assert sight is not None
    assert way is not None
    assert way.plan is not None

    # What is listed as broken is what the audit finds on the issued plan.
    cold = load_job(job, tmp_path / "weather" / COLD)
    breaches = [one for one in Auditor(cold.job, cold.weather).audit(issued) if one.weight is Weight.BREACH]
    assert breaches
    assert sorted(map(str, (one for found in sight.breaks for one in found.findings))) == sorted(map(str, breaches))

    # Nothing done or under way moves, in any way out.
    begun = {one.operation for one in issued.placements if one.start < sight.now}
    assert sight.fixed == begun
    for one in sight.answers:
        for key in begun if one.plan is not None else ():
            assert one.plan.visits_of(key) == issued.visits_of(key)
    assert {name for name, _ in sight.ways} >= {"any way", "wait", "swap"}

    page = tmp_path / "ways.pdf"
    assert view.footing is not None
    assert window.session is not None
    with qtbot.waitSignal(view.printing.asker.answered, timeout=WAIT_MS):
        view.printing.draw(view.page(window.session, sight, view.footing), page)
    reader = pypdf.PdfReader(page)
    text = " ".join(reader.pages[0].extract_text().split())
    assert len(reader.pages) == 1
    assert "WAYS OUT" in text
    assert "What breaks" in text
    assert view.moves.title.text() in text

    with qtbot.waitSignal(view.issue_wanted, timeout=WAIT_MS):
        view.issue.click()
    assert window.board is not None
    assert window.board.look.ghosts
    assert window.issuing.dialog is not None
    assert COLD in window.issuing.dialog.heading.text()
    window.issuing.dialog.reason.setPlainText("done work stays as it was")
    window.issuing.dialog.issue.click()
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    assert window.header.status.text().startswith("Issue 2 of Thu 8 Apr")
    assert [one.number for one in window.session.loaded.job.issues] == [1, 2]
    assert window.session.issued[1].issue.forecast.source == COLD

    # The forecast that the plan now stands on becomes the job's: opened again, the plan is judged on it.
    assert window.header.changed.text() == "changed, not saved"
    with qtbot.waitSignal(window.own_forecast.asker.answered, timeout=WAIT_MS):
        window.notices["forecast stands in"].buttons[0].click()
    window.actions_by_name["save"].trigger()
    assert not window.isWindowModified()
    reopened = with_last_issue(open_session(job))
    assert same_weather(reopened.loaded.series, cold.series)
    assert reopened.loaded.job.forecast.hourly == f"weather/{COLD}"
    assert reopened.plan is not None
    assert reopened.plan.placements == way.plan.placements

    window.actions_by_name["risk"].trigger()
    risk = window.pages["risk"]
    assert isinstance(risk, RiskView)
    risk.bar.members.setValue(30)
    with qtbot.waitSignal(risk.asker.answered, timeout=WAIT_MS):
        risk.bar.work.click()
    assert risk.found is not None
    assert risk.found.plan is window.session.plan
    assert risk.table.rowCount() == len(risk_rows(risk.found)) > 20
    assert risk.found.risk.settled > 50  # of March: behind, and so listed no more


def _issue(window: MainWindow, qtbot: QtBot) -> Plan:
    window.actions_by_name["issue"].trigger()
    assert window.issuing.dialog is not None
    window.issuing.dialog.issued_to.setText("gang leaders")
    window.issuing.dialog.issue.click()
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    assert window.session is not None
    assert window.session.plan is not None
    return window.session.plan
