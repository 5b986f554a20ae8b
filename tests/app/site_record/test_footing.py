"""What the record says of the day and the plan: today outside the job's days, a plan that is not issued."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.site_record.view import SiteRecordView, broken_words
from app.window import MainWindow
from planner.jobfile.load import load_job

Opened = Callable[[datetime], tuple[MainWindow, SiteRecordView]]
WITHIN, OUTSIDE = datetime(2027, 6, 8, 7, 7, tzinfo=UTC), datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


@pytest.fixture
def opened(qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path) -> Iterator[Opened]:
    made: list[MainWindow] = []

    def open_at(now: datetime) -> tuple[MainWindow, SiteRecordView]:
        command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
        window = MainWindow(settings, command, clock=lambda: now)
        made.append(window)
        qtbot.addWidget(window)
        window.resize(1366, 768)
        window.show()
        with qtbot.waitSignal(window.planning.ended, timeout=20_000):
            window.opening.open(own_file)
        window.actions_by_name["record"].trigger()
        view = window.pages["record"]
        assert isinstance(view, SiteRecordView)
        qtbot.waitUntil(lambda: view.page is not None and not view.asker.busy, timeout=10_000)
        return window, view

    yield open_at
    for window in made:
        window.close()


def test_outside_the_jobs_days_it_says_so_and_offers_only_what_can_be_done(opened: Opened, qtbot: QtBot) -> None:
    window, view = opened(OUTSIDE)
    assert view.outside.isVisible()
    told = view.outside.text()
    assert told.startswith("Today, Wed 25 Nov 2026, is outside this job's days, Tue 8 Jun 2027 to Wed 9 Jun 2027:")
    assert "can be typed" in told
    assert not view.bar.day.isEnabled()
    line = view.work.lines[0]
    assert not line.start.isEnabled()
    assert "Started now" not in view.follows.text()
    assert view.follows.text().startswith("Type below when work started")
    QTest.keyClicks(view.form.started, "08:05")
    QTest.keyClicks(view.form.finished, "09:10")
    qtbot.mouseClick(view.form.save, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: view.page is not None and len(view.page.history) == 1, timeout=10_000)
    assert "First coat may go on from" in view.follows.text()
    assert view.form.again.isVisible()
    assert not view.form.again.isEnabled()
    assert "outside this job's days" in view.form.again.toolTip()
    assert window.session is not None
    assert window.session.loaded.job.record[0].finished is not None


def test_within_the_jobs_days_nothing_is_said_of_it(opened: Opened) -> None:
    _window, view = opened(WITHIN)
    assert not view.outside.isVisible()
    assert view.bar.day.isEnabled()
    assert view.follows.text().startswith("Press “Started now”")


def test_a_plan_that_is_not_issued_says_so_until_it_is(opened: Opened, qtbot: QtBot) -> None:
    window, view = opened(WITHIN)
    assert view.unissued.isVisible()
    qtbot.mouseClick(view.unissued.buttons[0], Qt.MouseButton.LeftButton)
    assert window.issuing.dialog is not None
    window.issuing.dialog.accept()
    qtbot.waitUntil(lambda: not view.unissued.isVisible(), timeout=10_000)
    qtbot.mouseClick(view.work.lines[0].start, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: view.page is not None and len(view.page.history) == 1, timeout=10_000)
    assert not view.unissued.isVisible()
    assert "Issue 1 of" in window.header.status.text()


def test_what_is_typed_goes_when_a_job_is_opened(opened: Opened, qtbot: QtBot) -> None:
    window, view = opened(OUTSIDE)
    QTest.keyClicks(view.form.started, "08:05")
    with qtbot.waitSignal(window.planning.ended, timeout=20_000):
        window.opening.again()
    window.views.show("record")
    qtbot.waitUntil(lambda: view.page is not None and not view.asker.busy, timeout=10_000)
    assert view.form.started.text() == ""
    assert "1 crew-day " in window.header.status.text()


def test_what_is_broken_names_only_what_can_be_done() -> None:
    assert "“Mend the rest” (F7)" in broken_words(("Prime",), recorded=False)[0]
    assert "“Plan the rest”" in broken_words(("Prime",), recorded=True)[0]


@pytest.mark.parametrize("issued", [False, True])
def test_a_job_with_a_record_opens_on_its_issue_or_says_what_it_is_planned_from(
    opened: Opened, qtbot: QtBot, own_file: Path, issued: bool
) -> None:
    window, view = opened(WITHIN)
    if issued:
        window.actions_by_name["issue"].trigger()
        assert window.issuing.dialog is not None
        window.issuing.dialog.accept()
        qtbot.waitUntil(lambda: not view.unissued.isVisible(), timeout=10_000)
    qtbot.mouseClick(view.work.lines[0].start, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: view.page is not None and len(view.page.history) == 1, timeout=10_000)
    window.actions_by_name["save"].trigger()
    assert len(load_job(own_file).job.record) == 1
    with qtbot.waitSignal(window.opening.asker.answered, timeout=20_000):
        window.opening.again()
    qtbot.waitUntil(lambda: window.session is not None and window.session.plan is not None, timeout=20_000)
    qtbot.waitUntil(lambda: not window.planning.busy, timeout=20_000)
    assert ("record" in window.notices) is not issued
    if not issued:
        told = window.notices["record"].words.text()
        assert told.startswith("1 entry is in the site record, but no programme was issued")
