"""What the job can't take: it stays typed, is told in place, moves nothing, and goes along with the next value."""

from __future__ import annotations

from datetime import datetime

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.job_setup.view import JobSetupView
from app.window import MainWindow
from planner.model import Closure
from tests.app.job_setup.hands import WAIT_MS, chosen, settled, type_into

CLOSURE = {
    "id": "night",
    "name": "Night",
    "lanes": ["lane"],
    "start": datetime(2027, 6, 8, 20),  # noqa: DTZ001
    "finish": datetime(2027, 6, 9, 6),  # noqa: DTZ001
}
AT = ("closures", 0)


@pytest.fixture
def closure_view(own_window: MainWindow, view: JobSetupView, qtbot: QtBot) -> JobSetupView:
    """Return the view of a job with a closure, which is chosen."""
    changes = {("lanes", 0): {"id": "lane", "name": "Lane"}, AT: CLOSURE}
    own_window.editor.change("closure added", changes)
    settled(own_window, qtbot)
    chosen(view, "closures/night")
    return view


def closure_of(window: MainWindow) -> Closure:
    assert window.session is not None
    return window.session.loaded.job.closures[0]


def span(window: MainWindow) -> tuple[str, str]:
    one = closure_of(window)
    return f"{one.start:%d %H:%M}", f"{one.finish:%d %H:%M}"


@pytest.mark.parametrize("waits", [True, False])
def test_a_closure_is_moved_later_by_its_two_ends(
    own_window: MainWindow, closure_view: JobSetupView, qtbot: QtBot, waits: bool
) -> None:
    """The new start is after the old finish, and refused alone; it is taken with the new finish."""
    type_into(closure_view, qtbot, (*AT, "start"), "2027-06-10 20:00")
    if waits:
        settled(own_window, qtbot)
        assert "finish after it starts" in closure_view.form.lines[(*AT, "start")].fault
        assert "finish after it starts" in closure_view.refusal.text()
    type_into(closure_view, qtbot, (*AT, "finish"), "2027-06-11 05:00")
    settled(own_window, qtbot)
    assert span(own_window) == ("10 20:00", "11 05:00")
    assert not any(line.fault or line.pending for line in closure_view.form.lines.values())
    assert closure_view.refusal.text() == ""


def test_a_finish_that_still_clashes_does_not_stretch_the_closure(
    own_window: MainWindow, closure_view: JobSetupView, qtbot: QtBot
) -> None:
    start = type_into(closure_view, qtbot, (*AT, "start"), "2027-06-10 20:00")
    settled(own_window, qtbot)
    finish = type_into(closure_view, qtbot, (*AT, "finish"), "2027-06-10 05:00")
    settled(own_window, qtbot)
    assert span(own_window) == ("08 20:00", "09 06:00")
    assert (start.text(), finish.text()) == ("2027-06-10 20:00", "2027-06-10 05:00")
    type_into(closure_view, qtbot, (*AT, "finish"), "2027-06-11 05:00")
    settled(own_window, qtbot)
    assert span(own_window) == ("10 20:00", "11 05:00")


def test_a_refused_value_keeps_no_other_from_being_taken(
    own_window: MainWindow, closure_view: JobSetupView, qtbot: QtBot
) -> None:
    lanes = type_into(closure_view, qtbot, (*AT, "lanes"), "nowhere")
    settled(own_window, qtbot)
    type_into(closure_view, qtbot, (*AT, "name"), "Late night")
    settled(own_window, qtbot)
    assert closure_of(own_window).name == "Late night"
    assert lanes.text() == "nowhere"
    assert closure_view.form.lines[(*AT, "lanes")].fault


def test_what_was_refused_is_there_again_when_its_thing_is_shown_again(
    own_window: MainWindow, closure_view: JobSetupView, qtbot: QtBot
) -> None:
    type_into(closure_view, qtbot, (*AT, "start"), "2027-06-10 20:00")
    settled(own_window, qtbot)
    chosen(closure_view, "lanes/lane")
    assert closure_view.refusal.text() == ""
    chosen(closure_view, "closures/night")
    editor = closure_view.form.lines[(*AT, "start")].editor
    assert isinstance(editor, QLineEdit)
    assert editor.text() == "2027-06-10 20:00"
    type_into(closure_view, qtbot, (*AT, "finish"), "2027-06-11 05:00")
    settled(own_window, qtbot)
    assert span(own_window) == ("10 20:00", "11 05:00")


def test_a_refusal_moves_nothing_under_the_mouse(
    own_window: MainWindow, closure_view: JobSetupView, qtbot: QtBot
) -> None:
    def places() -> list[QPoint]:
        own_window.grab()
        return [line.editor.mapTo(own_window, QPoint()) for line in closure_view.form.lines.values()]

    before = places()
    type_into(closure_view, qtbot, (*AT, "start"), "2027-06-10 20:00")
    settled(own_window, qtbot)
    assert closure_view.refusal.text()
    assert not own_window.banner.isVisible()
    assert places() == before


def test_what_is_told_of_a_refusal_goes_with_the_next_change(
    own_window: MainWindow, view: JobSetupView, qtbot: QtBot
) -> None:
    own_window.editor.change("days", {("job", "days"): 900})
    own_window.editor.change("name", {("job", "name"): "Four coats"})
    qtbot.waitUntil(lambda: own_window.banner.isVisible(), timeout=WAIT_MS)
    settled(own_window, qtbot)
    qtbot.waitUntil(lambda: not own_window.banner.isVisible(), timeout=WAIT_MS)
    assert own_window.header.job.text() == "Four coats"
