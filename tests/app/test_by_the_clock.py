"""What should have begun by now is told as time passes; nothing is taken as done, or as late before its time."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.window import MainWindow
from planner.findings import Weight
from planner.site_record.entries import Draft, change_for

WAIT_MS = 20_000
PRIME, COAT = "plinth/prime", "plinth/coat_1"
"""Planned 08:00 to 09:00, and 11:00 to 12:00; the coat has to go on by 13:00 after a primer at 09:00."""


@pytest.fixture
def clock() -> list[datetime]:
    """Return a list of one time, the one that the window takes for now; the site is an hour ahead of UTC."""
    return [datetime(2027, 6, 8, 8, 1, tzinfo=UTC)]


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path, clock: list[datetime]) -> MainWindow:
    """Return a window on the plinth at 09:01 of its first day, with the primer recorded."""
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    made = MainWindow(settings, command, clock=lambda: clock[0])
    qtbot.addWidget(made)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=WAIT_MS):
        made.open_job(own_file)
    assert made.session is not None
    done = Draft(PRIME, noted=9 * 60 + 1, started=8 * 60, finished=9 * 60)
    made.editor.change("write into the record", change_for(made.session.loaded.job, done))
    qtbot.waitUntil(lambda: not made.editor.busy, timeout=WAIT_MS)
    return made


def set_clock(window: MainWindow, qtbot: QtBot, clock: list[datetime], hour: int, minute: int) -> None:
    """Let it be a time of the first day at the site, and wait for what follows."""
    clock[0] = datetime(2027, 6, 8, hour - 1, minute, tzinfo=UTC)
    window.by_the_clock.tick()
    qtbot.waitUntil(lambda: not window.by_the_clock.asker.busy, timeout=WAIT_MS)


def told(window: MainWindow) -> list[tuple[str, str]]:
    assert window.session is not None
    return [(one.code, one.place) for one in window.session.findings if one.place]


def test_a_start_that_is_overdue_is_said_while_nothing_is_recorded(
    window: MainWindow, qtbot: QtBot, clock: list[datetime]
) -> None:
    set_clock(window, qtbot, clock, 11, 5)
    assert "overdue" not in window.header.status.text()
    assert ("not-recorded", COAT) not in told(window)
    set_clock(window, qtbot, clock, 12, 40)
    assert "1 start overdue" in window.header.status.text()
    assert "1 start overdue" in window.findings.quiet.text()
    [late] = [one for one in window.session.findings if one.code == "not-recorded"] if window.session else []
    assert late.place == COAT
    assert late.found == "overdue: planned to start Tue 8 Jun 11:00, nothing recorded by Tue 8 Jun 12:30"
    assert late.weight is Weight.ADVICE


def test_a_gap_that_shuts_while_nothing_is_recorded_is_broken(
    window: MainWindow, qtbot: QtBot, clock: list[datetime]
) -> None:
    set_clock(window, qtbot, clock, 12, 55)
    assert ("gap-late", COAT) not in told(window)
    set_clock(window, qtbot, clock, 13, 20)
    assert ("gap-late", COAT) in told(window)
    assert "not workable: 1 breach" in window.header.status.text()
    assert "1 start overdue" in window.header.status.text()


def test_steps_of_undo_know_it_too(window: MainWindow, qtbot: QtBot, clock: list[datetime]) -> None:
    set_clock(window, qtbot, clock, 12, 40)
    before = window.session
    window.mover.stack.undo()
    assert "overdue" not in window.header.status.text()  # without a record nothing is missing in it
    window.mover.stack.redo()
    qtbot.waitUntil(lambda: not window.by_the_clock.asker.busy, timeout=WAIT_MS)
    assert window.session is before
    assert "1 start overdue" in window.header.status.text()


def test_what_is_recorded_later_is_no_more_overdue(window: MainWindow, qtbot: QtBot, clock: list[datetime]) -> None:
    set_clock(window, qtbot, clock, 12, 40)
    assert window.session is not None
    begun = Draft(COAT, noted=12 * 60 + 41, started=11 * 60 + 10)
    window.editor.change("write into the record", change_for(window.session.loaded.job, begun))
    qtbot.waitUntil(lambda: not window.editor.busy and not window.by_the_clock.asker.busy, timeout=WAIT_MS)
    assert "overdue" not in window.header.status.text()


@pytest.mark.parametrize("when", [datetime(2026, 11, 25, tzinfo=UTC), datetime(2027, 7, 1, tzinfo=UTC)])
def test_outside_the_jobs_days_the_newest_entry_is_the_last_known(
    window: MainWindow, clock: list[datetime], when: datetime
) -> None:
    before, clock[0] = window.session, when
    window.by_the_clock.tick()
    assert not window.by_the_clock.asker.busy
    assert window.session is before
