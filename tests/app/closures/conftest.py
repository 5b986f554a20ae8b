"""The main sample job with two plans of it, and a study put together from them: no study is made here."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.closures.view import ClosuresView
from app.settings import Settings
from app.window import MainWindow
from planner.audit.terms import plan_terms
from planner.calendars.closures import closure_window
from planner.closures.plain import PlanBook, study_to_plain
from planner.closures.results import ClosureWorth, Instead, LeastLength, Refusal, Step, Study, TradeOff
from planner.closures.work_inside import work_inside
from planner.intervals import Interval
from planner.jobfile.load import LoadedJob, load_job
from planner.jobfile.planfile import write_plan
from planner.model import Aim, Plan
from planner.solve.run import solve_job

MAIN_JOB = Path(__file__).resolve().parents[3] / "sample_jobs" / "harrow_beck_viaduct.toml"
NOW = datetime(2027, 3, 22, 9, tzinfo=UTC)
WAIT_MS = 30_000
Make = Callable[..., MainWindow]


@pytest.fixture(scope="session")
def main_loaded() -> LoadedJob:
    """Return the main sample job."""
    return load_job(MAIN_JOB)


@pytest.fixture(scope="session")
def main_study(main_loaded: LoadedJob) -> Study:
    """Return a study of two steps, the first of them looked into."""
    job, weather = main_loaded.job, main_loaded.weather

    def plan_for(aim: Aim) -> Plan:
        found = solve_job(job, weather, aim=aim, seconds=60, trials=3)
        assert found.plan is not None
        return found.plan

    def step(plan: Plan, floor: int) -> Step:
        ids = tuple(one.id for one in job.closures if one.id in plan.closures_used)
        terms = plan_terms(job, weather, plan)
        return Step(float(len(ids)), ids, plan, terms, floor, floor == plan.finish)

    few, early = plan_for(Aim.CLOSURES), plan_for(Aim.FINISH)
    steps = [step(few, few.finish - 8)]
    if len(early.closures_used) > len(few.closures_used) and early.finish < few.finish:
        steps.append(step(early, early.finish))
    worths = []
    for number, id in enumerate(steps[0].closures):
        whole = closure_window(job.closure(id), job.time).whole
        least = LeastLength(Interval(whole.start, whole.finish - 2), True, number > 0, True, few)
        instead = Instead(
            early, plan_terms(job, weather, early), early.closures_used, ("easter_nb",), 16, 250.0, True
        )
        refusal = Refusal(None, None, True, ("No plan exists",)) if number else Refusal(instead, instead, False)
        worths.append(ClosureWorth(job.closure(id), work_inside(job, few, id), least, refusal))
    return Study(job, TradeOff(tuple(steps), True), TradeOff(tuple(steps), False), steps[0], tuple(worths))


@pytest.fixture(scope="session")
def study_file(main_loaded: LoadedJob, main_study: Study, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return that study as the studying process would send it."""
    book = PlanBook(main_loaded.job)
    content = {"study": study_to_plain(main_study, book), "plans": book.take_fresh()}
    path = tmp_path_factory.mktemp("study") / "study.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def main_plan_file(main_loaded: LoadedJob, main_study: Study, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the last step's plan as a PLAN.json, for the board."""
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    write_plan(path, main_study.by_number.steps[-1].plan, main_loaded.job)
    return path


@pytest.fixture
def make_window(qtbot: QtBot, settings: Settings, tmp_path: Path, study_file: Path, main_plan_file: Path) -> Make:
    """Return what makes a window at the Closures view of a copy of the main sample job; its workers are fakes."""

    def make(behaviour: str = "studied", change: Callable[[str], str] = lambda text: text) -> MainWindow:
        folder = shutil.copytree(MAIN_JOB.parent, tmp_path / "jobs")
        path = folder / MAIN_JOB.name
        path.write_text(change(path.read_text(encoding="utf-8")), encoding="utf-8")
        command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(main_plan_file))
        made = MainWindow(settings, command, clock=lambda: NOW)
        qtbot.addWidget(made)
        made.resize(1366, 768)
        made.show()
        studier = (sys.executable, "-m", "tests.app.closures.fake_studier", behaviour, str(study_file))
        view_of(made).question.studying.child.command = studier
        with qtbot.waitSignal(made.planning.ended, timeout=WAIT_MS):
            made.open_job(path)
        made.actions_by_name["closures"].trigger()
        return made

    return make


def view_of(window: MainWindow) -> ClosuresView:
    """Return the window's Closures view."""
    view = window.pages["closures"]
    assert isinstance(view, ClosuresView)
    return view
