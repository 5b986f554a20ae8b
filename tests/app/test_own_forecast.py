"""A forecast that stands in for the job's own becomes it, in one step; one in the user's own file is not unsaved."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.own_forecast import free_name
from app.recovery import taken_up, unsaved_of
from app.weather.files import csv_bytes
from app.weather.snapshot import Shift, as_read, shifted
from app.window import MainWindow
from planner.jobfile.load import load_job
from planner.weather.series import HourlySeries, same_weather

WAIT_MS = 20_000
BAR = "forecast stands in"


@pytest.fixture
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder that is not the job's."""
    return tmp_path_factory.mktemp("elsewhere")


def colder(window: MainWindow) -> HourlySeries:
    assert window.session is not None
    return shifted(as_read(window.session.loaded.series), Shift(10, 40, -2.0)).series


def use_file(window: MainWindow, qtbot: QtBot, file: Path) -> None:
    """Open a forecast in the Weather view and put it under the plan."""
    with qtbot.waitSignal(window.weather.worker.answered, timeout=WAIT_MS):
        window.weather.bringing.open_file(file)
    assert window.weather.unsaved == ""  # it is in a file of the user's
    with qtbot.waitSignal(window.weather.keeping.used, timeout=WAIT_MS):
        window.weather.use()


def make_own(window: MainWindow, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.own_forecast.asker.answered, timeout=WAIT_MS):
        window.notices[BAR].buttons[0].click()


def user_file(window: MainWindow, folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    file = folder / "cold snap.csv"
    file.write_bytes(csv_bytes(colder(window)))
    return file


def save(window: MainWindow) -> None:
    window.actions_by_name["save"].trigger()


def test_one_typed_here_is_written_beside_the_job_when_that_is_saved(
    own_window: MainWindow, own_file: Path, qtbot: QtBot
) -> None:
    window, series = own_window, colder(own_window)
    assert BAR not in window.notices
    window.weather._push("colder", as_read(series))
    with qtbot.waitSignal(window.weather.keeping.used, timeout=WAIT_MS):
        window.weather.use()
    assert window.header.changed.text() == "forecast not saved"
    make_own(window, qtbot)
    beside = own_file.with_name("own_forecast.csv")
    assert window.header.changed.text() == "changed, not saved"
    assert BAR not in window.notices
    assert not beside.exists()
    save(window)
    assert beside.exists()
    assert not window.isWindowModified()
    assert window.leaving.lost() == []
    read = load_job(own_file)
    assert same_weather(read.series, series)
    assert read.job.forecast.days == ()

    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        window.opening.again()
    assert window.session is not None
    assert window.session.weather_file is None
    assert same_weather(window.session.loaded.series, series)
    assert BAR not in window.notices


def test_making_it_the_jobs_keeps_the_plan_and_can_be_undone(
    own_window: MainWindow, own_file: Path, elsewhere: Path, qtbot: QtBot
) -> None:
    window, before = own_window, own_file.read_text(encoding="utf-8")
    use_file(window, qtbot, user_file(window, elsewhere))
    stands = window.session
    assert stands is not None
    assert not window.isWindowModified()  # the forecast is in the user's own file
    make_own(window, qtbot)
    made = window.session
    assert made is not None
    assert made.plan == stands.plan
    assert [str(one) for one in made.findings] == [str(one) for one in stands.findings]
    assert made.proved_here == stands.proved_here
    window.mover.stack.undo()
    assert window.session is stands
    assert BAR in window.notices
    assert not window.unsaved
    window.mover.stack.redo()
    assert BAR not in window.notices
    save(window)
    assert own_file.with_name("cold snap.csv").exists()
    assert own_file.read_text(encoding="utf-8") != before
    assert same_weather(load_job(own_file).series, made.loaded.series)


def test_a_file_in_the_jobs_folder_is_named_where_it_lies(
    own_window: MainWindow, own_file: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = own_window
    use_file(window, qtbot, user_file(window, tmp_path / "weather"))
    make_own(window, qtbot)
    assert window.session is not None
    assert window.session.weather_file is None
    assert window.session.loaded.job.forecast.hourly == "weather/cold snap.csv"
    save(window)
    assert [one.name for one in own_file.parent.glob("*.csv")] == []
    assert same_weather(load_job(own_file).series, window.session.loaded.series)


def test_a_file_that_was_changed_since_is_not_taken_for_the_forecast(
    own_window: MainWindow, own_file: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    window = own_window
    file = user_file(window, tmp_path / "weather")
    use_file(window, qtbot, file)
    assert window.session is not None
    series = window.session.loaded.series
    file.write_bytes(csv_bytes(shifted(as_read(series), Shift(0, 3, -1.0)).series))
    make_own(window, qtbot)
    save(window)
    assert load_job(own_file).job.forecast.hourly == "cold snap.csv"
    assert same_weather(load_job(own_file).series, series)


def test_no_file_of_that_name_is_written_over(
    own_window: MainWindow, own_file: Path, elsewhere: Path, qtbot: QtBot
) -> None:
    window, before = own_window, own_file.read_text(encoding="utf-8")
    own_file.with_name("cold snap.csv").write_text("somebody's", encoding="utf-8")
    use_file(window, qtbot, user_file(window, elsewhere))
    make_own(window, qtbot)
    own_file.with_name("cold snap_2.csv").write_text("came meanwhile", encoding="utf-8")
    save(window)
    assert own_file.read_text(encoding="utf-8") == before
    assert "cold snap_2.csv is there already" in window.statusBar().currentMessage()
    assert window.unsaved
    own_file.with_name("cold snap_2.csv").unlink()
    save(window)
    assert not window.unsaved
    assert own_file.with_name("cold snap.csv").read_text(encoding="utf-8") == "somebody's"
    window.editor.change("job renamed", {("job", "name"): "Another"})
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)
    save(window)
    assert load_job(own_file).job.job.name == "Another"


def test_saved_as_another_job_it_lies_beside_that_one(
    own_window: MainWindow, tmp_path: Path, elsewhere: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, other = own_window, tmp_path / "other" / "job.toml"
    use_file(window, qtbot, user_file(window, elsewhere))
    make_own(window, qtbot)
    other.parent.mkdir()
    monkeypatch.setattr("app.saving.ask_new_file", lambda *_words: other)
    window.actions_by_name["save_as"].trigger()
    assert sorted(one.name for one in other.parent.iterdir() if one.suffix in (".csv", ".toml")) == [
        "cold snap.csv",
        "job.toml",
    ]
    assert list(tmp_path.glob("*.csv")) == []
    assert window.session is not None
    assert same_weather(load_job(other).series, window.session.loaded.series)


def test_left_as_it_is_it_is_offered_no_more(own_window: MainWindow, elsewhere: Path, qtbot: QtBot) -> None:
    window = own_window
    use_file(window, qtbot, user_file(window, elsewhere))
    window.notices[BAR].buttons[2].click()
    assert window.session is not None
    assert window.session.plan is not None
    window.mover.nudge(window.session.plan.placements[-1].operation, 1, 1)
    assert BAR not in window.notices
    window.mover.stack.setIndex(0)
    assert window.session.weather_file is None


def test_what_is_still_to_be_written_outlives_a_crash(own_window: MainWindow, elsewhere: Path, qtbot: QtBot) -> None:
    window = own_window
    use_file(window, qtbot, user_file(window, elsewhere))
    make_own(window, qtbot)
    assert window.session is not None
    again = taken_up(unsaved_of(window.session, window.saved_text))
    assert again.own_weather
    assert again.loaded.text == window.session.loaded.text
    assert same_weather(again.loaded.series, window.session.loaded.series)


def test_a_name_is_taken_that_no_file_has(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    assert free_name(job, None) == "job_forecast.csv"
    (tmp_path / "late.csv").write_text("", encoding="utf-8")
    (tmp_path / "late_2.csv").write_text("", encoding="utf-8")
    assert free_name(job, Path("/usb/late.json")) == "late_3.csv"
