"""The Site record view: now buttons, typed times, corrections that keep the old value, the next gap at once."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from app.board.facts import WorkState
from app.settings import Settings
from app.site_record.view import NO_PLAN, SiteRecordView
from app.site_record.work_list import TOUCH_PX
from app.window import MainWindow

HOSTILE = "<img src='file:///etc/passwd'>\u202e=cmd()\n" + "x" * 3000
PRIME, COAT = ("plinth/prime", 1), ("plinth/coat_1", 1)


class Clock:
    """A clock that the test sets; UTC, an hour behind the site's."""

    def __init__(self) -> None:
        self.now = datetime(2027, 6, 8, 7, 7, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def set(self, window: MainWindow, hour: int, minute: int) -> None:
        self.now = self.now.replace(hour=hour - 1, minute=minute)
        assert window.board is not None
        window.board.tick()
        window.pages["record"].set_now(window.board.look.now)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, own_file: Path, plan_file: Path, clock: Clock) -> MainWindow:
    """Return a window on the plinth, planned: prime 08:00, first coat 11:00, second coat 15:00; now is 08:07."""
    command = (sys.executable, "-m", "tests.app.fake_worker", "proved", str(plan_file))
    made = MainWindow(settings, command, clock=clock)
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    with qtbot.waitSignal(made.planning.ended, timeout=20_000):
        made.opening.open(own_file)
    yield made
    made.note_saved(made.session.loaded.text)


@pytest.fixture
def view(qtbot: QtBot, window: MainWindow) -> SiteRecordView:
    view = window.pages["record"]
    assert isinstance(view, SiteRecordView)
    window.actions_by_name["record"].trigger()
    wait(qtbot, window, view)
    return view


def wait(qtbot: QtBot, window: MainWindow, view: SiteRecordView, entries: int | None = None) -> None:
    """Wait until the page shows the record with so many entries."""

    def settled() -> bool:
        job = window.session.loaded.job
        there = entries is None or len(job.record) == entries
        return there and not view.asker.busy and view.page is not None and len(view.page.history) == len(job.record)

    qtbot.waitUntil(settled, timeout=10_000)


def press(qtbot: QtBot, button: QPushButton) -> None:
    assert button.isEnabled()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_it_is_view_four_and_shows_today(window: MainWindow, view: SiteRecordView) -> None:
    assert window.actions_by_name["record"].shortcut().toString() == "Ctrl+4"
    assert [line.name.text() for line in view.work.lines] == ["Prime", "First coat", "Second coat"]
    assert view.bar.day_words == "Tue 8 Jun"
    assert view.chosen == PRIME
    assert not view.bar.rest.isEnabled()
    assert not view.work.lines[0].finish.isEnabled()


def test_started_and_finished_now_move_the_next_gap(
    qtbot: QtBot, window: MainWindow, view: SiteRecordView, clock: Clock
) -> None:
    press(qtbot, view.work.lines[0].start)
    wait(qtbot, window, view, 1)
    line = view.work.lines[0]
    assert line.state.text() == "▶ under way  ·  started 08:07"
    clock.set(window, 9, 3)
    press(qtbot, view.work.lines[0].finish)
    wait(qtbot, window, view, 2)
    assert view.follows.text().startswith("Next: First coat may go on from Tue 8 Jun 11:03 until Tue 8 Jun 13:03")
    assert view.work.line(COAT).gap.text().startswith("✗ may go on from Tue 8 Jun 11:03")  # planned for 11:00
    states = {visit.key: visit.state for group in window.session.facts.rows for visit in group.children[0].visits}
    assert states[PRIME[0]] is WorkState.DONE
    assert states[COAT[0]] is WorkState.AHEAD
    assert view.bar.rest.isEnabled()


def test_a_second_tap_is_told_in_plain_words_and_records_nothing(
    qtbot: QtBot, window: MainWindow, view: SiteRecordView
) -> None:
    told: list[str] = []
    view.told.connect(lambda words: told.append(words))
    start = view.work.lines[0].start
    start.click()
    view.work.started.emit(PRIME)  # before the first press has become an entry
    wait(qtbot, window, view, 1)
    view.work.started.emit(PRIME)  # and after
    assert told == [
        "It is recorded already that it started just now. Another time can be typed at the right.",
        "It is recorded already that it started Tue 8 Jun 08:07. Another time can be typed at the right.",
    ]
    assert len(window.session.loaded.job.record) == 1


def test_a_correction_keeps_the_old_value_struck_through(
    qtbot: QtBot, window: MainWindow, view: SiteRecordView, clock: Clock
) -> None:
    press(qtbot, view.work.lines[0].start)
    wait(qtbot, window, view, 1)
    assert view.form.started.text() == "08:07"
    view.form.by.setText("foreman")
    view.form.started.selectAll()
    QTest.keyClicks(view.form.started, "0802")
    press(qtbot, view.form.save)
    wait(qtbot, window, view, 2)
    newest, oldest = view.history.item(0), view.history.item(1)
    assert "started Tue 8 Jun 08:02" in newest.text()
    assert newest.text().endswith("by foreman  ·  corrects entry 1")
    assert not newest.font().strikeOut()
    assert oldest.font().strikeOut()
    assert "started Tue 8 Jun 08:07" in oldest.text()
    assert oldest.text().endswith("corrected by entry 2")
    assert "08:07" in window.session.loaded.text


def test_a_reading_out_of_range_and_a_missed_gap_are_raised(
    qtbot: QtBot, window: MainWindow, view: SiteRecordView, clock: Clock
) -> None:
    clock.set(window, 14, 0)
    wait(qtbot, window, view)
    for field, text in (
        (view.form.started, "08:00"),
        (view.form.finished, "09:00"),
        (view.form.readings["surface_c"], "4"),
    ):
        field.setFocus()
        QTest.keyClicks(field, text)
    press(qtbot, view.form.save)
    wait(qtbot, window, view, 1)
    words = view.follows.text()
    assert "Reading: required a surface of 5 to 20 °C" in words
    assert (
        "Missed: First coat may go on from Tue 8 Jun 11:00 until Tue 8 Jun 13:00: the gap has shut. Prime again."
        in words
    )
    assert view.follows.objectName() == "followsBad"


def test_work_done_again_starts_its_gap_anew(
    qtbot: QtBot, window: MainWindow, view: SiteRecordView, clock: Clock
) -> None:
    clock.set(window, 14, 0)
    wait(qtbot, window, view)
    QTest.keyClicks(view.form.started, "08:00")
    QTest.keyClicks(view.form.finished, "09:00")
    stood = view.form.save.mapToGlobal(QPoint())
    press(qtbot, view.form.save)
    wait(qtbot, window, view, 1)
    assert view.form.again.isVisible()
    assert view.form.save.mapToGlobal(QPoint()) == stood  # the next press must not hit the other button
    press(qtbot, view.form.again)
    wait(qtbot, window, view, 2)
    assert window.session.loaded.job.record[1].visit == 2
    clock.set(window, 15, 0)
    wait(qtbot, window, view)
    press(qtbot, view.work.line(("plinth/prime", 2)).finish)
    wait(qtbot, window, view, 3)
    assert "First coat may go on from Tue 8 Jun 17:00" in view.follows.text()


def test_an_entry_is_taken_back(qtbot: QtBot, window: MainWindow, view: SiteRecordView) -> None:
    press(qtbot, view.work.lines[0].start)
    wait(qtbot, window, view, 1)
    view.history.setCurrentRow(0)
    press(qtbot, view.bar.take_back)
    wait(qtbot, window, view, 2)
    assert view.history.item(0).text().endswith("takes back entry 1")
    assert view.work.lines[0].start.isEnabled()


def test_what_cant_be_read_is_said_before_it_is_written(view: SiteRecordView) -> None:
    QTest.keyClicks(view.form.started, "8 o'clock")
    assert "is not a time" in view.form.fault.text()
    assert not view.form.save.isEnabled()
    view.form.started.setText("")
    QTest.keyClicks(view.form.started, "09:00")
    QTest.keyClicks(view.form.finished, "08:00")
    assert view.form.fault.text() == "It can't have finished before it started."
    assert not view.form.save.isEnabled()


def test_what_is_pressed_is_big_enough_for_a_glove(view: SiteRecordView) -> None:
    buttons = [one for one in view.findChildren(QPushButton) if one.isVisible()]
    assert len(buttons) > 10
    assert {button.text(): button.height() for button in buttons if button.height() < TOUCH_PX} == {}
    fields = [field for field in view.form.fields if field.isVisible()]
    assert all(field.height() >= TOUCH_PX - 2 for field in fields)


def test_everything_is_reached_by_key_and_named(view: SiteRecordView) -> None:
    for field in view.form.fields:
        assert field.accessibleName()
    assert view.work.lines[1].start.accessibleName() == "First coat started now"
    view.work.lines[0].setFocus()
    QTest.keyClick(view.work.lines[0], Qt.Key.Key_Down)
    assert view.chosen == COAT


def test_without_a_plan_it_says_how_to_get_one(qtbot: QtBot) -> None:
    empty = SiteRecordView()
    qtbot.addWidget(empty)
    empty.show()
    empty.bring_up_to_date()
    assert empty.nothing.text() == NO_PLAN
    empty.close_all()


def test_outside_the_jobs_days_nothing_is_recorded_by_a_press(
    qtbot: QtBot, window: MainWindow, view: SiteRecordView, clock: Clock
) -> None:
    clock.now = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)
    clock.set(window, 14, 0)
    wait(qtbot, window, view)
    assert view.bar.words.text().startswith("The clock is outside this job's days: type the times")
    assert not any(line.start.isEnabled() for line in view.work.lines)
    view.choose(PRIME)
    QTest.keyClicks(view.form.started, "08:10")
    press(qtbot, view.form.save)
    wait(qtbot, window, view, 1)
    assert "noted Tue 8 Jun 08:10" in view.history.item(0).text()


def test_names_are_plain_text(qtbot: QtBot, window: MainWindow, view: SiteRecordView) -> None:
    window.editor.change(
        "rename", {("elements", 0, "name"): HOSTILE, ("methods", 0, "operations", 1, "name"): HOSTILE}
    )
    qtbot.waitUntil(lambda: any("<img" in line.name.text() for line in view.work.lines), timeout=10_000)
    view.form.note.setText("<b>bold</b>\u202e")
    QTest.keyClicks(view.form.started, "08:01")
    qtbot.mouseClick(view.form.save, Qt.MouseButton.LeftButton)
    wait(qtbot, window, view, 1)
    words = [view.history.item(0).text(), view.follows.text(), *(line.name.text() for line in view.work.lines)]
    assert any("<b>bold</b>" in text for text in words)
    assert all("\u202e" not in text and "\n" not in text.replace("\n\n", "") for text in words)
    for line in view.work.lines:
        assert line.name.textFormat() is Qt.TextFormat.PlainText
        assert line.width() <= view.work.viewport().width()
