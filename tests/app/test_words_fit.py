"""Every word has room: with the longest plausible names, in normal and very large text, in all views and dialogs."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.about import about_dialog, keys_dialog
from app.aims_dialog import AimsDialog
from app.by_hand.offers_dialog import OffersDialog
from app.dialog import Dialog
from app.guide import GuideDialog
from app.issue_dialog import IssueDialog
from app.job_setup.new_job_dialog import NewJobDialog
from app.session import Session, open_session, with_placed
from app.settings import Settings
from app.text_size import TextSize
from app.weather.fetch import Fetcher
from app.weather.fetch_dialog import FetchDialog
from app.weather.fetch_store import FetchStore
from app.weather.shift_dialog import ShiftDialog
from app.window import MainWindow
from planner.weather.fetch_plan import FetchSettings
from tests.app.fitting import faults_of
from tests.app.weather.cases import LONDON, made

LONG = ", full height above the pile cap, upstream and downstream faces"
LOUD = " – ÉLARGISSEMENT DU VIADUC, CÔTÉ MONTAGNE, DEUXIÈME PHASE"


@pytest.fixture(autouse=True)
def _normal_text_after(qapp: QApplication) -> Iterator[None]:
    """The size of text is the application's; put it back for other tests."""
    font = qapp.font()
    yield
    qapp.setFont(font)


def longer(text: str) -> str:
    """Return a job's text in which every name has 60 letters and more, each second in capitals with accents."""
    tails = iter((LONG, LOUD) * 1000)
    return re.sub(r'(?m)^(name = ".*)"', lambda found: f'{found[1]}{next(tails)}"', text)


@pytest.fixture
def long_named(viaduct: Session, tmp_path: Path) -> Session:
    """Return the main sample job with its plan and with names that go on and on."""
    path = viaduct.loaded.path
    text = longer(path.read_text(encoding="utf-8")).replace('hourly = "', f'hourly = "{path.parent.as_posix()}/')
    own = tmp_path / "a_job_whose_file_has_a_name_that_goes_on_as_well.toml"
    own.write_text(text, encoding="utf-8")
    assert viaduct.plan is not None
    return with_placed(open_session(own), viaduct.plan)


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, long_named: Session) -> MainWindow:
    """Return a window of 1366x768 in very large text on that job, on a day of its work."""
    settings.text_size = TextSize.VERY_LARGE
    command = (sys.executable, "-c", "")
    made = MainWindow(settings, command, clock=lambda: datetime(2027, 4, 1, 9, tzinfo=UTC))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    made.show_job(long_named, long_named.loaded.text)
    return made


def settled_faults(qtbot: QtBot, top: QWidget, view: QWidget) -> list[str]:
    """Return what is wrong once a view shows what it has asked for, and all of it is laid out."""
    asker = getattr(view, "asker", None)
    if asker is not None:
        qtbot.waitUntil(lambda: not asker.busy, timeout=20_000)
    for _turn in range(20):
        QApplication.processEvents()
        if not (found := faults_of(top)):
            return []
        qtbot.wait(25)
    return found


@pytest.mark.parametrize("size", [TextSize.VERY_LARGE, TextSize.NORMAL])
def test_in_every_view_all_words_have_room(window: MainWindow, qtbot: QtBot, size: TextSize) -> None:
    window.looks.set_text_size(size.value)
    window.resize(1366, 768)
    found = {}
    for name in ("board", *window.pages):
        window.views.show(name)
        page = window.stack.currentWidget()
        found[name] = settled_faults(qtbot, window, page)
        assert window.size().toTuple() == (1366, 768), f"{name} asks for more than a laptop's screen"
    assert {name: faults for name, faults in found.items() if faults} == {}


def test_however_many_gaps_an_operation_has_the_window_stays_on_the_screen(window: MainWindow) -> None:
    session = window.session
    assert session is not None
    tails = dict.fromkeys((one.operation for one in session.plan.placements), 0)  # type: ignore[union-attr]
    for row in (child for group in session.facts.rows for child in group.children):
        for tail in row.tails:
            for key in (tail.after, tail.before):
                tails[key] = tails.get(key, 0) + 1
    most = max(tails, key=lambda key: tails[key])
    window.select(most)
    QApplication.processEvents()
    gauges = window.details.gauges
    assert len(gauges.tails) >= 3
    assert 1 <= len(gauges.drawn) < len(gauges.tails), "as many as there is room for, each whole"
    assert window.size().toTuple() == (1366, 768)
    assert faults_of(window) == []


def test_all_words_of_the_dialogs_have_room(
    window: MainWindow, qtbot: QtBot, long_named: Session, tmp_path: Path
) -> None:
    site, series = long_named.loaded.job.site, made()
    heading = f"Issue 1 of “{long_named.loaded.job.job.name}”"
    breach = f"Required a gap of 2 h before{LONG}; missed by 3 h."
    key = long_named.work.operations[0].key
    now = datetime(2027, 4, 1, 9, tzinfo=UTC)
    dialogs: tuple[Callable[[], QDialog], ...] = (
        lambda: AimsDialog(window.header.wanted, f"Issue 1{LONG}", "GBP", window),
        lambda: IssueDialog(heading, (breach,) * 9, f"It has not been checked{LONG}.", window),
        lambda: IssueDialog(heading, (), "", window),
        lambda: NewJobDialog(now.date(), window),
        lambda: OffersDialog(long_named, key, window.kit.theme, window),
        lambda: ShiftDialog(series, LONDON, 0, 100, window),
        lambda: FetchDialog(site, FetchSettings("https:", "", LONG), FetchStore(tmp_path), Fetcher(), parent=window),
        lambda: GuideDialog(window),
        lambda: keys_dialog(window),
        lambda: about_dialog(window),
    )
    for make in dialogs:
        dialog = make()
        qtbot.addWidget(dialog)
        dialog.show()
        assert settled_faults(qtbot, dialog, dialog) == [], dialog.windowTitle()
        dialog.close()


def test_a_dialog_grows_with_what_it_comes_to_say(qtbot: QtBot) -> None:
    dialog = Dialog()
    qtbot.addWidget(dialog)
    lines: QVBoxLayout = dialog.lines()
    words = QLabel("", wordWrap=True)
    for one in (words, QPushButton("Close")):
        lines.addWidget(one)
    dialog.open_at(300, 60)
    dialog.show()
    words.setText("what was typed can't be read, for a reason that takes many words; " * 8)
    qtbot.waitUntil(lambda: faults_of(dialog) == [])
    assert dialog.height() > 150


def test_work_chosen_before_the_weather_is_seen_is_in_its_chart(window: MainWindow) -> None:
    session = window.session
    assert session is not None
    assert session.plan is not None
    last = max(session.plan.placements, key=lambda one: one.start)
    window.select(last.operation)
    window.weather.chart.show_slot(last.start)
    window.views.show("weather")
    QApplication.processEvents()
    chart = window.weather.chart
    first, end = chart.slot_at(chart.frame_boxes.axis.x), chart.slot_at(chart.frame_boxes.axis.right)
    assert first <= last.start <= end
    assert 4 * 96 <= end - first <= 12 * 96, "days, neither hours nor the whole job"
