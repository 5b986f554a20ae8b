"""Leaving a job: nothing is lost unasked; saving under another name takes steps of undo and the forecast along."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from app.job_moves import from_folder, with_hourly
from app.leaving import Answer
from app.recovery import find_left, taken_up, unsaved_folder
from app.replan.choices import BaseChoice, ForecastChoice, footing, taken
from app.session import open_session
from app.status_words import plan_words
from app.unsaved_store import read
from app.window import MainWindow
from planner.jobfile.load import load_job
from planner.model import PlanStatus

WAIT_MS = 20_000
RENAMED = {("job", "name"): "Three coats, once more"}


class Asked:
    """Answers the question, and keeps what was asked."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, answer: Answer) -> None:
        self.lost: list[str] = []
        self.answer = answer
        monkeypatch.setattr("app.leaving.ask", self._ask)

    def _ask(self, _parent: object, lost: list[str]) -> Answer:
        self.lost += lost
        return self.answer


def rename(window: MainWindow, qtbot: QtBot) -> None:
    window.editor.change("job renamed", RENAMED)
    qtbot.waitUntil(lambda: not window.editor.busy, timeout=WAIT_MS)


def choose(monkeypatch: pytest.MonkeyPatch, path: Path) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))


def test_nothing_is_asked_where_nothing_is_lost(own_window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = Asked(monkeypatch, Answer.STAY)
    assert own_window.close()
    assert asked.lost == []


def test_cancel_keeps_the_window_and_the_changes(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, own_file: Path
) -> None:
    asked = Asked(monkeypatch, Answer.STAY)
    rename(own_window, qtbot)
    assert not own_window.close()
    own_window.opening.again()
    assert own_window.isVisible()
    assert own_window.stack.currentWidget() is own_window.split
    assert own_window.header.job.text() == "Three coats, once more"
    assert asked.lost == ["own.toml has changes that are not saved."] * 2
    asked.answer = Answer.DISCARD
    assert own_window.close()
    assert "once more" not in own_file.read_text(encoding="utf-8")


def test_save_writes_before_the_window_shuts(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, own_file: Path
) -> None:
    Asked(monkeypatch, Answer.SAVE)
    rename(own_window, qtbot)
    assert own_window.header.changed.isVisible()
    assert own_window.close()
    assert "once more" in own_file.read_text(encoding="utf-8")


def test_what_can_not_be_saved_keeps_the_window_open(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, own_file: Path
) -> None:
    asked = Asked(monkeypatch, Answer.SAVE)
    rename(own_window, qtbot)
    own_file.write_text("# theirs\n", encoding="utf-8")
    assert not own_window.close()
    assert own_file.read_text(encoding="utf-8") == "# theirs\n"
    asked.answer = Answer.DISCARD


def test_a_plan_moved_by_hand_is_asked_about_until_it_is_in_a_file(
    own_window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked = Asked(monkeypatch, Answer.SAVE)
    assert own_window.session is not None
    assert own_window.session.plan is not None
    key = own_window.session.plan.placements[-1].operation
    assert not own_window.header.changed.isVisible()
    own_window.mover.nudge(key, 1, 1)
    assert own_window.header.changed.isVisible()
    assert own_window.header.changed.text() == "plan moved, not saved"
    assert own_window.isWindowModified()
    own_window.mover.stack.undo()
    assert not own_window.header.changed.isVisible()
    own_window.mover.stack.redo()
    choose(monkeypatch, Path())
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    assert not own_window.close()
    choose(monkeypatch, tmp_path / "moved.json")
    assert own_window.close()
    assert (tmp_path / "moved.json").is_file()
    assert asked.lost == ["The plan was moved by hand and is in no file."] * 2


def test_a_taken_plan_on_another_forecast_is_asked_about_until_both_are_in_files(
    own_window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked = Asked(monkeypatch, Answer.SAVE)
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    assert "proved" in plan_words(session)
    series = session.loaded.series
    forecast = ForecastChoice("warmer", replace(series, air_c=series.air_c + 1))
    base = BaseChoice("the plan shown", session.plan)
    own_window.take_step("replanned", taken(footing(session, forecast, base, 0, tmp_path / "own"), session.plan))
    assert own_window.header.changed.text() == "plan and forecast not saved"
    assert own_window.isWindowModified()
    names = iter(("", tmp_path / "taken.json", "", tmp_path / "warmer.csv"))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(next(names)), ""))
    assert not own_window.close()
    assert len(asked.lost) == 2
    assert not own_window.close()
    assert own_window.header.changed.text() == "forecast not saved"
    asked.answer = Answer.STAY
    assert not own_window.close()
    asked.answer = Answer.SAVE
    assert own_window.close()
    assert (tmp_path / "warmer.csv").is_file()
    assert not own_window.header.changed.text()


def test_what_died_with_a_taken_plan_is_taken_up_as_unsaved(own_window: MainWindow) -> None:
    session = own_window.session
    assert session is not None
    own_window.take_step("taken", replace(session, taken=True))
    own_window.recovery.keep_now()
    [found] = (read(file) for file in unsaved_folder().glob("*.json"))
    assert found is not None
    again = taken_up(found)
    assert again.taken
    assert "proved" not in plan_words(again)


def test_the_mark_of_a_moved_plan_goes_when_it_is_in_a_file(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert own_window.session is not None
    assert own_window.session.plan is not None
    own_window.mover.nudge(own_window.session.plan.placements[-1].operation, 1, 1)
    qtbot.waitUntil(lambda: not own_window.mover.asker.busy, timeout=20_000)
    rename(own_window, qtbot)
    assert own_window.header.changed.text() == "job and plan not saved"
    choose(monkeypatch, tmp_path / "moved.json")
    own_window.actions_by_name["save_plan"].trigger()
    assert own_window.header.changed.text() == "changed, not saved"


def test_told_to_end_while_it_asks_the_window_shuts_and_what_it_had_is_kept(
    own_window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert own_window.session is not None
    assert own_window.session.plan is not None
    own_window.mover.nudge(own_window.session.plan.placements[-1].operation, 1, 1)

    def told_meanwhile(_parent: object, _lost: object) -> Answer:
        own_window.recovery.keep_now()
        own_window.leaving.asks = False
        return Answer.STAY  # a question that is shut with the program

    monkeypatch.setattr("app.leaving.ask", told_meanwhile)
    assert own_window.close()
    [found] = find_left()
    assert found.unsaved.in_order
    assert found.unsaved.by_hand


def test_a_job_saved_under_another_name_is_the_open_one(
    own_window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, own_file: Path, tmp_path: Path
) -> None:
    before = own_file.read_text(encoding="utf-8")
    rename(own_window, qtbot)
    choose(monkeypatch, tmp_path / "other")
    own_window.actions_by_name["save_as"].trigger()
    other = tmp_path / "other.toml"
    assert "once more" in other.read_text(encoding="utf-8")
    assert own_file.read_text(encoding="utf-8") == before
    assert not own_window.isWindowModified()
    assert own_window.settings.recent[0] == str(other.resolve())
    own_window.actions_by_name["undo"].trigger()
    assert own_window.isWindowModified()
    own_window.actions_by_name["save"].trigger()
    assert other.read_text(encoding="utf-8") == before
    assert own_window.session is not None
    assert own_window.session.loaded.path == other


def test_the_forecast_beside_the_old_file_is_found_from_the_new_place(tmp_path: Path) -> None:
    samples = Path(__file__).resolve().parents[2] / "sample_jobs"
    here, there = tmp_path / "here", tmp_path / "there" / "deep"
    shutil.copytree(samples / "weather", here / "weather")
    there.mkdir(parents=True)
    job = Path(shutil.copy(samples / "harrow_beck_viaduct.toml", here))
    old = load_job(job)
    text = with_hourly(old.text, from_folder(here / str(old.job.forecast.hourly), there))
    (there / "job.toml").write_text(text, encoding="utf-8")
    new = load_job(there / "job.toml")
    assert new.series.air_c.tolist() == old.series.air_c.tolist()
    changed = [(a, b) for a, b in zip(old.text.splitlines(), text.splitlines(), strict=True) if a != b]
    assert len(changed) == 1


def test_a_forecast_named_in_a_way_of_its_own_is_changed_too() -> None:
    assert with_hourly('forecast.hourly = "a.csv" # b\n', 'b"c.csv') == 'forecast.hourly = "b\\"c.csv" # b\n'
    inline = with_hourly('forecast = { "hourly" = "a.csv" }\n', "b.csv")
    assert "b.csv" in inline
    assert "a.csv" not in inline


def test_a_changed_forecast_is_asked_about(
    own_window: MainWindow, monkeypatch: pytest.MonkeyPatch, own_file: Path
) -> None:
    assert open_session(own_file).plan is None
    asked = Asked(monkeypatch, Answer.STAY)
    own_window.weather.type_cell("air_c", 3, "4.5")
    assert not own_window.close()
    assert "save it as CSV" in asked.lost[0]
    own_window.weather.undo.undo()
    assert own_window.close()


def test_a_plan_that_time_ended_is_asked_about_as_another_may_come(
    own_window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = Asked(monkeypatch, Answer.STAY)
    session = own_window.session
    assert session is not None
    assert session.plan is not None
    own_window.take(replace(session, plan=replace(session.plan, status=PlanStatus.FEASIBLE)))
    assert own_window.header.changed.text() == "plan not saved"
    assert not own_window.close()
    assert asked.lost == ["The plan shown is in no file, and planning again may find another."]
