"""The foreman's day on the main sample job: tomorrow's sheet in the evening, the site record in the morning.

What is pressed: Ctrl+3; Print to PDF, a name; next morning Ctrl+4, Started now, Finished now; Ctrl+S. Seven steps.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.board.facts import WorkState
from app.settings import Settings
from app.shift_sheet.view import ShiftSheetView
from app.site_record.view import SiteRecordView
from app.window import MainWindow
from planner.audit.gaps import GapRow
from planner.jobfile.load import load_job
from planner.jobfile.planfile import write_plan
from planner.solve.run import solve_job

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
EVENING, MORNING = datetime(2027, 3, 22, 17, 30, tzinfo=UTC), datetime(2027, 3, 23, 7, 4, tzinfo=UTC)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the main job, its forecast and its first plan."""
    there = tmp_path_factory.mktemp("main")
    shutil.copytree(SAMPLES, there, dirs_exist_ok=True)
    loaded = load_job(there / "harrow_beck_viaduct.toml")
    plan = solve_job(loaded.job, loaded.weather, seconds=30, trials=1).plan
    assert plan is not None
    write_plan(there / "plan.json", plan, loaded.job)
    return there


@pytest.fixture
def clock() -> list[datetime]:
    """Return a list of one time, the one that the window takes for now; GMT is the site's time in March."""
    return [EVENING]


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, folder: Path, clock: list[datetime]) -> Iterator[MainWindow]:
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(folder / "plan.json"))
    made = MainWindow(settings, command, clock=lambda: clock[0])
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=30_000):
        made.opening.open(folder / "harrow_beck_viaduct.toml")
    yield made
    assert made.session is not None
    made.note_saved(made.session.loaded.text)


def set_clock(window: MainWindow, clock: list[datetime], moment: datetime) -> None:
    clock[0] = moment
    assert window.board is not None
    window.board.tick()
    for view in window.pages.values():
        view.set_now(window.board.look.now)


def gap_after(window: MainWindow, key: str) -> GapRow | None:
    assert window.session is not None
    return next((row for row in window.session.gaps if row.after == key and row.opens is not None), None)


def wait_for_entries(qtbot: QtBot, window: MainWindow, view: SiteRecordView, count: int) -> None:
    def there() -> bool:
        page = view.page
        return not view.asker.busy and page is not None and len(page.history) == count

    qtbot.waitUntil(there, timeout=20_000)


def test_the_foremans_day(
    qtbot: QtBot,
    window: MainWindow,
    clock: list[datetime],
    folder: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # The evening before: Ctrl+3 shows tomorrow's sheet, and it is printed.
    window.actions_by_name["sheet"].trigger()
    sheet = window.pages["sheet"]
    assert isinstance(sheet, ShiftSheetView)
    qtbot.waitUntil(lambda: sheet.shown is not None and not sheet.drawer.busy, timeout=20_000)
    assert sheet.shown is not None
    assert (sheet.bar.day.currentText(), sheet.bar.gang.currentText()) == ("Tue 23 Mar", "Repair gang A")
    paper = tmp_path / "sheet.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(paper), ""))
    with qtbot.waitSignal(sheet.printer.answered, timeout=20_000):
        qtbot.mouseClick(sheet.bar.print, Qt.MouseButton.LeftButton)
    words = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(paper).pages)
    assert len(PdfReader(paper).pages) <= 2
    assert all(row.work in words and row.not_before in words for one in sheet.shown.sheets for row in one.running)
    # In the morning: Ctrl+4, and the work that starts first and has a gap after it.
    set_clock(window, clock, MORNING)
    window.actions_by_name["record"].trigger()
    record = window.pages["record"]
    assert isinstance(record, SiteRecordView)
    wait_for_entries(qtbot, window, record, 0)
    line = next(one for one in record.work.lines if gap_after(window, one.row.key[0]) is not None)
    key = line.row.key
    before = gap_after(window, key[0])
    assert before is not None
    qtbot.mouseClick(line.start, Qt.MouseButton.LeftButton)
    wait_for_entries(qtbot, window, record, 1)
    set_clock(window, clock, MORNING.replace(hour=9, minute=41))
    wait_for_entries(qtbot, window, record, 1)
    line = record.work.line(key)
    assert line is not None
    assert line.state.text() == "▶ under way  ·  started 07:04"
    qtbot.mouseClick(line.finish, Qt.MouseButton.LeftButton)
    wait_for_entries(qtbot, window, record, 2)
    # The next gap has moved with the real finish, in the window's gaps and in words.
    after = gap_after(window, key[0])
    assert after is not None
    assert after.after_at != before.after_at
    assert (after.opens, after.shuts) != (before.opens, before.shuts)
    assert "may go on" in record.follows.text()
    assert window.session is not None
    states = {
        (visit.key, visit.number): visit.state
        for group in window.session.facts.rows
        for row in group.children
        for visit in row.visits
    }
    assert states[key] is WorkState.DONE
    # Ctrl+S: the record is in the job's file, with all that stood there.
    window.actions_by_name["save"].trigger()
    text = (folder / "harrow_beck_viaduct.toml").read_text("utf-8")
    assert text.count("[[record]]") == 2
    assert text.startswith((SAMPLES / "harrow_beck_viaduct.toml").read_text("utf-8").rstrip("\n"))
    assert [entry.operation for entry in load_job(folder / "harrow_beck_viaduct.toml").job.record] == [key[0]] * 2
