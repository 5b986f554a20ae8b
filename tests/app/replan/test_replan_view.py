"""The replan view: a forecast is brought, ways out come in one by one, and one of them is taken."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.replan.choices import BY_RECORD, suggested_now
from app.replan.replanning import End, Replanning
from app.replan.view import ReplanView
from app.window import MainWindow
from planner.model import SiteEntry

WAIT_MS = 30_000


@pytest.fixture
def cold_file(tmp_path: Path) -> Path:
    """Return a forecast of 3 °C until noon, when the first coat would be too early, then 12 °C."""
    rows = ["time,air_c,humidity_pct,rain_mm,wind_ms,cloud_pct"]
    for hour in range(-24, 72):
        day, clock = divmod(hour, 24)
        rows.append(f"2027-06-{8 + day:02d}T{clock:02d}:00+01:00,{5.5 if hour < 12 else 12},60,0,3,100")
    path = tmp_path / "cold.csv"
    path.write_text("\n".join(rows) + "\n", "utf-8")
    return path


@pytest.fixture
def window(own_window: MainWindow) -> MainWindow:
    own_window.clock = lambda: datetime(2027, 6, 8, 7, 30, tzinfo=UTC)
    own_window.by_the_clock.tick()
    own_window.views.show("replan")
    view_of(own_window).bar.seconds.setValue(1)
    return own_window


def view_of(window: MainWindow) -> ReplanView:
    view = window.pages["replan"]
    assert isinstance(view, ReplanView)
    return view


def bring(view: ReplanView, qtbot: QtBot, path: Path) -> None:
    with qtbot.waitSignal(view.bringing.brought, timeout=WAIT_MS):
        view.bringing.open_file(path)


def find(view: ReplanView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.replanning.ended, timeout=WAIT_MS):
        view.bar.find.click()


def forecasts_offered(window: MainWindow) -> list[str]:
    """Return the forecasts that the view offers, once it is shown."""
    window.views.show("replan")
    box = view_of(window).bar.forecast
    return [box.itemText(place) for place in range(box.count())]


def test_before_anything_is_looked_for_the_view_teaches(window: MainWindow) -> None:
    view = view_of(window)
    assert "Find ways out" in view.moves.quiet.text()
    assert not view.table.isVisible()
    assert not view.take.isEnabled()
    assert [view.bar.forecast.itemText(i) for i in range(view.bar.forecast.count())] == ["the plan's own"]
    assert view.bar.now.text() == "Tue 8 Jun 08:30"


def type_now(view: ReplanView, qtbot: QtBot, words: str) -> None:
    view.bar.now.selectAll()
    qtbot.keyClicks(view.bar.now, words)
    qtbot.keyClick(view.bar.now, Qt.Key.Key_Return)


def test_the_time_that_is_now_is_typed_as_people_write_it(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    for words in ("Tue 8 Jun 2027 10:07", "8 jun 1007", "10.07"):
        type_now(view, qtbot, words)
        assert view.bar.now.text() == "Tue 8 Jun 10:07"
        assert view.bar.now.slot() == 41  # 10:15, the first quarter-hour from then on
    view.set_now(0.0)
    assert view.bar.now.text() == "Tue 8 Jun 10:07"


def test_a_time_that_can_t_be_read_is_never_guessed(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    for words in ("soon", "8 Apr 12:00", "Thu 8 Jun 12:00", " "):
        type_now(view, qtbot, words)
        assert view.bar.now.text() == words
        assert view.faults.isVisible()
        view.bar.find.click()
        assert not view.replanning.busy
        assert view.sight is None
    type_now(view, qtbot, "8 Jun 12:00")
    assert not view.faults.isVisible()


def test_the_same_forecast_moves_nothing(window: MainWindow, qtbot: QtBot) -> None:
    view = view_of(window)
    find(view, qtbot)
    assert view.breaks.title.text() == "Nothing breaks"
    assert view.table.rowCount() == 2
    assert view.table.item(1, 1).text() == "0"
    assert "proved" in view.table.item(1, 6).text()
    assert view.moves.list.item(0).text() == "Nothing moves."


def test_the_supervisor_brings_a_cold_forecast_and_takes_the_least_change(
    window: MainWindow, qtbot: QtBot, cold_file: Path
) -> None:
    view, before = view_of(window), window.session
    assert before is not None
    assert before.plan is not None
    bring(view, qtbot, cold_file)
    assert view.bar.forecast.currentText() == "opened here: cold.csv"
    find(view, qtbot)
    sight = view.sight
    assert sight is not None
    assert sight.fixed == {"plinth/prime"}
    assert sight.breaks
    assert "Act by" in view.breaks.list.item(0).text()
    assert view.table.item(0, 6).text().startswith("broken: ")
    assert view.way is sight.best
    assert sight.best is not None
    plan = sight.best.plan
    assert plan is not None
    assert plan.visits_of("plinth/prime") == before.plan.visits_of("plinth/prime")
    assert view.moves.title.text().startswith("2 operations change, 1 stay")
    with qtbot.waitSignal(view.taker.answered, timeout=WAIT_MS):
        view.take.click()
    session = window.session
    assert session is not None
    assert session.plan is not None
    assert session.plan.placements == plan.placements
    assert session.loaded.series.source == "cold.csv"
    assert not [one for one in session.findings if one.weight.value == "breach"]
    assert window.header.views.current == "board"
    assert forecasts_offered(window) == [
        "the plan's own"
    ]  # nothing was tried in the weather view: it follows the plan
    window.actions_by_name["undo"].trigger()
    assert window.session is before
    assert forecasts_offered(window) == ["the plan's own", "opened here: cold.csv"]


def test_a_way_is_looked_at_on_the_board_and_nothing_is_taken_until_it_is_said(
    window: MainWindow, qtbot: QtBot, cold_file: Path
) -> None:
    view, before, board = view_of(window), window.session, window.board
    assert before is not None
    assert before.plan is not None
    assert board is not None
    bring(view, qtbot, cold_file)
    find(view, qtbot)
    with qtbot.waitSignal(view.look_wanted, timeout=WAIT_MS):
        view.foot.look.click()
    strip = window.looking.strip
    assert strip is not None
    assert strip.isVisible()
    assert strip.words.text().startswith("You are looking at: way out “")
    assert window.header.views.current == "board"
    assert window.session is before
    assert board.whole is not before.facts
    assert window.forecast.text().startswith("Forecast: cold.csv")
    assert board.look.ghosts
    assert not board.movable
    looked_at = window.looking.shown
    assert looked_at is not None
    assert looked_at.plan is not None
    moved = set(looked_at.plan.placements) - set(before.plan.placements)
    assert board.look.selected == min(moved, key=lambda one: one.start).operation
    assert not window.actions_by_name["issue"].isEnabled()
    board.go_to("plinth/coat_1")
    qtbot.mouseClick(strip.buttons[1], Qt.MouseButton.LeftButton)
    assert window.session is before
    assert board.whole is before.facts
    assert not window.forecast.text().startswith("Forecast: cold.csv")
    assert not board.look.ghosts
    assert board.movable
    assert not window.mover.stack.canUndo()
    window.views.show("replan")
    with qtbot.waitSignal(view.look_wanted, timeout=WAIT_MS):
        view.foot.look.click()
    strip = window.looking.strip
    assert strip is not None
    qtbot.mouseClick(strip.buttons[0], Qt.MouseButton.LeftButton)
    assert window.looking.strip is None
    assert window.session is not before
    assert window.session is not None
    assert window.session.loaded.series.source == "cold.csv"
    assert board.whole is window.session.facts
    window.actions_by_name["undo"].trigger()
    assert window.session is before


def test_a_change_of_the_job_ends_looking(window: MainWindow, qtbot: QtBot, cold_file: Path) -> None:
    view = view_of(window)
    bring(view, qtbot, cold_file)
    find(view, qtbot)
    with qtbot.waitSignal(view.look_wanted, timeout=WAIT_MS):
        view.foot.look.click()
    window.editor.change("job renamed", {("job", "name"): "Another name"})
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    assert window.looking.strip is None
    assert window.session is not None
    assert window.board is not None
    assert window.board.whole is window.session.facts
    assert window.board.movable


def test_with_the_clock_outside_the_job_now_is_when_the_new_forecast_begins_to_differ(
    window: MainWindow, qtbot: QtBot, cold_file: Path, tmp_path: Path
) -> None:
    view = view_of(window)
    window.clock = lambda: datetime(2030, 1, 1, tzinfo=UTC)
    window.by_the_clock.tick()
    assert window.session is not None
    standing = window.session.loaded.series
    lines = cold_file.read_text("utf-8").splitlines()
    first = round((datetime(2027, 6, 8, 10, tzinfo=UTC) - standing.start).total_seconds() / 3600)
    rows = [lines[0]]
    for hour in range(standing.hours):
        moment = standing.start + timedelta(hours=hour)
        off = 0.0 if hour < first else -3.0
        parts = (standing.air_c[hour] + off, standing.humidity_pct[hour], standing.rain_mm[hour])
        wind = (standing.wind_ms[hour], standing.cloud_pct[hour])
        rows.append(",".join([moment.isoformat(), *(repr(float(value)) for value in (*parts, *wind))]))
    later = tmp_path / "later.csv"
    later.write_text("\n".join(rows) + "\n", "utf-8")
    bring(view, qtbot, later)
    assert view.bar.now.text() == "Tue 8 Jun 11:00"
    assert "begins to differ" in view.bar.status.text()


def test_with_the_clock_outside_the_job_now_is_no_earlier_than_the_record(window: MainWindow) -> None:
    session = window.session
    assert session is not None
    operation = session.plan.placements[0].operation if session.plan is not None else ""
    noted = datetime.fromisoformat("2027-06-08T13:25")
    entry = SiteEntry(operation=operation, started=datetime.fromisoformat("2027-06-08T08:00"), noted_at=noted)
    job = session.loaded.job.model_copy(update={"record": (entry,)})
    recorded = replace(session, loaded=replace(session.loaded, job=job))
    assert suggested_now(session, None, None) is None
    assert suggested_now(recorded, None, None) == (job.time.slot_up(job.time.wall(noted)), BY_RECORD)
    assert suggested_now(recorded, None, 40.0) is None
    view = view_of(window)
    view.show_session(recorded)
    view.set_now(None)
    assert view.bar.now.text() == "Tue 8 Jun 13:30"
    assert view.bar.status.text() == BY_RECORD


def test_an_issue_can_be_the_base(window: MainWindow, qtbot: QtBot) -> None:
    window.actions_by_name["issue"].trigger()
    assert window.issuing.dialog is not None
    window.issuing.dialog.issue.click()
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    view = view_of(window)
    assert [view.bar.base.itemText(i) for i in range(view.bar.base.count())] == ["the plan shown"]
    window.mover.nudge("plinth/coat_2", 1, 1)
    qtbot.waitUntil(lambda: not window.mover.asker.busy, timeout=WAIT_MS)
    window.views.show("board")
    window.views.show("replan")
    names = [view.bar.base.itemText(i) for i in range(view.bar.base.count())]
    assert names == ["the plan shown", "Issue 1 of Tue 8 Jun"]
    view.bar.base.setCurrentIndex(1)
    find(view, qtbot)
    assert view.sight is not None
    assert (
        view.sight.base.visits_of("plinth/coat_2")[0].start
        == window.session.issued[0]
        .plan.visits_of(  # type: ignore[union-attr]
            "plinth/coat_2"
        )[0]
        .start
    )


def test_a_forecast_tried_in_the_weather_view_is_offered(window: MainWindow, qtbot: QtBot, cold_file: Path) -> None:
    weather = window.weather
    window.views.show("weather")
    with qtbot.waitSignal(weather.worker.answered, timeout=WAIT_MS):
        weather.bringing.open_file(cold_file)
    window.views.show("replan")
    view = view_of(window)
    names = [view.bar.forecast.itemText(i) for i in range(view.bar.forecast.count())]
    assert names == ["the plan's own", "tried in Weather: cold.csv"]


def test_a_broken_forecast_changes_nothing(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    view, path = view_of(window), tmp_path / "broken.csv"
    path.write_text("time,air_c,humidity_pct,rain_mm,wind_ms\n2027-06-08T00:00Z,x,1,1,1\n", "utf-8")
    with qtbot.waitSignal(view.bringing.failed, timeout=WAIT_MS):
        view.bringing.open_file(path)
    assert view.faults.isVisible()
    assert view.bar.forecast.count() == 1


def test_a_line_leads_to_its_operation_and_after_the_job_changed_no_old_plan_is_taken(
    window: MainWindow, qtbot: QtBot, cold_file: Path
) -> None:
    view = view_of(window)
    bring(view, qtbot, cold_file)
    find(view, qtbot)
    assert view.take.isEnabled()
    item = view.moves.list.item(0)
    view.moves.list.itemActivated.emit(item)
    assert window.header.views.current == "board"
    assert window.board is not None
    assert window.board.look.selected == item.data(Qt.ItemDataRole.UserRole)
    window.views.show("replan")
    window.editor.change("job renamed", {("job", "name"): "Another"})
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    assert not view.take.isEnabled()
    assert "has changed since" in view.bar.status.text()


def test_it_can_be_stopped(window: MainWindow, qtbot: QtBot, cold_file: Path) -> None:
    view = view_of(window)
    bring(view, qtbot, cold_file)
    view.bar.seconds.setValue(500)
    with qtbot.waitSignal(view.replanning.seen, timeout=WAIT_MS):
        view.bar.find.click()
    with qtbot.waitSignal(view.replanning.ended, timeout=WAIT_MS) as ended:
        view.bar.stop.click()
    end = ended.args[0]
    assert isinstance(end, End)
    assert end.outcome == "looked"
    assert view.bar.find.isEnabled()


@pytest.mark.parametrize(
    ("script", "words"),
    [
        ("import sys; sys.stderr.write('fell over'); sys.exit(3)", "ended without an answer"),
        ("print('nonsense')", "ended without an answer"),
    ],
)
def test_a_process_that_dies_is_told(window: MainWindow, qtbot: QtBot, script: str, words: str) -> None:
    session = window.session
    assert session is not None
    assert session.plan is not None
    replanning = Replanning(window, (sys.executable, "-c", script))
    with qtbot.waitSignal(replanning.ended, timeout=WAIT_MS) as ended:
        replanning.start(session, session.plan, 0, None, "", 1.0)
    assert ended.args is not None
    assert words in str(ended.args[0])
