"""The window: opens a job, plans it, shows details and findings, and says what went wrong."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.window import MainWindow
from planner.advice.advice import advice
from planner.findings import Finding
from planner.jobfile.load import load_job
from planner.jobfile.planfile import read_plan

WAIT_MS = 20_000
Open = Callable[..., MainWindow]
NOW = datetime(2024, 6, 4, 12, tzinfo=UTC)


@pytest.fixture
def window_of(qtbot: QtBot, settings: Settings) -> Open:
    def made(behaviour: str, *plans: Path, job: Path | None = None) -> MainWindow:
        command = (sys.executable, "-m", "tests.app.fake_worker", behaviour, *(str(plan) for plan in plans))
        window = MainWindow(settings, command, clock=lambda: NOW)
        qtbot.addWidget(window)
        window.resize(1366, 768)
        window.show()
        if job is not None:
            with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
                window.open_job(job)
        return window

    return made


def words(window: MainWindow) -> str:
    page = window.stack.currentWidget()
    labels = [label.text() for label in page.findChildren(QLabel) if not label.isHidden()]
    return "\n".join([*labels, *(button.text() for button in page.findChildren(QPushButton))])


def test_alone_it_welcomes_and_lists_the_samples(window_of: Open, job_file: Path) -> None:
    window = window_of("proved")
    assert "Every layer opens a gap that shuts again." in words(window)
    assert job_file.stem.replace("_", " ") in words(window)
    assert not window.header.plan.isEnabled()
    assert not window.header.views.isVisible()  # a click on a view would do nothing yet
    assert not window.actions_by_name["save_plan"].isEnabled()


def test_a_job_opens_and_its_plan_is_shown(window_of: Open, job_file: Path, plan_file: Path) -> None:
    window = window_of("proved", plan_file, job=job_file)
    assert window.header.views.isVisible()
    job = load_job(job_file).job
    assert window.board is not None
    assert window.session is not None
    shown = [box.row.id for box in window.board.display.rows.boxes]
    assert {element.id for element in job.elements} <= set(shown)
    plan = read_plan(plan_file, job)
    drawn = [visit for group in window.session.facts.rows for row in group.children for visit in row.visits]
    assert len(drawn) == len(plan.placements)
    advised = advice(job, window.session.loaded.weather, plan)
    assert window.session.findings == (*advised, *window.session.loaded.notes)
    assert window.findings.list.count() == len(window.session.findings)
    assert "audit clean" in window.header.status.text()
    assert "Finish" in window.header.status.text()
    assert window.header.job.text() == job.job.name
    assert "Forecast" in window.forecast.text()
    assert window.settings.recent[0] == str(job_file.resolve())


def test_selection_fills_the_details_with_why_here(
    window_of: Open, job_file: Path, plan_file: Path, qtbot: QtBot
) -> None:
    window = window_of("proved", plan_file, job=job_file)
    assert window.board is not None
    assert window.session is not None
    key = window.session.plan.placements[-1].operation if window.session.plan else ""
    with qtbot.waitSignal(window.details.asker.answered, timeout=WAIT_MS):
        window.board.go_to(key)
    text = window.details.words.toPlainText()
    operation = window.session.operation(key)
    assert operation is not None
    assert window.details.title.text() == operation.name
    why = window.session.explain(key)
    assert why is not None
    assert "Why here?" in text
    assert why.words[0].split(";")[0][:40] in text
    assert "Conditions" in text
    assert window.board.look.limits.element == operation.element


def test_each_better_plan_is_shown_and_stop_keeps_the_last(
    window_of: Open, job_file: Path, plan_file: Path, qtbot: QtBot
) -> None:
    window = window_of("until-cancelled", plan_file)
    with qtbot.waitSignal(window.planning.planned, timeout=WAIT_MS):
        window.open_job(job_file)
    assert window.header.cancel.isEnabled()
    assert not window.header.plan.isEnabled()
    with qtbot.waitSignal(window.planning.ended, timeout=WAIT_MS):
        qtbot.mouseClick(window.header.cancel, Qt.MouseButton.LeftButton)
    assert window.session is not None
    assert window.session.plan is not None
    assert "stopped" in window.statusBar().currentMessage()
    assert window.header.plan.isEnabled()
    assert window.actions_by_name["save_plan"].isEnabled()


def test_a_crash_is_said_and_the_job_stays_open(window_of: Open, job_file: Path) -> None:
    window = window_of("crash", job=job_file)
    assert not window.banner.isHidden()
    assert "ended without an answer" in window.banner.text()
    assert "the worker fell over" in window.banner.text()
    assert window.board is not None
    assert window.header.plan.isEnabled()


def test_reasons_are_shown_where_no_plan_exists(window_of: Open, job_file: Path, qtbot: QtBot) -> None:
    window = window_of("no-plan", job=job_file)
    assert "No plan exists" in window.banner.text()
    assert "No closure covers lane 1" in window.banner.text()
    assert window.header.status.text() == "No plan exists"
    shown = window.banner.words.toPlainText()
    assert shown.startswith("No plan exists")
    assert "No closure covers lane 1 for long enough." in shown
    qtbot.mouseClick(window.banner.away, Qt.MouseButton.LeftButton)
    assert window.banner.isHidden()


def test_many_reasons_are_numbered_and_scroll(window_of: Open, job_file: Path, plan_file: Path) -> None:
    window = window_of("proved", plan_file, job=job_file)
    before = window.board.height() if window.board else 0
    window.banner.say(["These can't all hold:", *(f"requirement {number} " + "word " * 60 for number in range(9))])
    document = window.banner.words.document()
    assert document.toPlainText().splitlines()[1].startswith("Requirement 0")
    assert document.begin().next().textList() is not None
    assert document.size().height() > window.banner.words.height()
    assert window.board is not None
    assert window.board.height() > before / 2


def test_a_bad_job_shows_all_its_faults(window_of: Open, tmp_path: Path, qtbot: QtBot) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('liftgap_job = 1\n[job]\nname = "x"\nfirst_day = "soon"\ndays = 0\n', encoding="utf-8")
    window = window_of("proved")
    with qtbot.waitSignal(window.opening.asker.failed, timeout=WAIT_MS) as failed:
        window.open_job(bad)
    error = failed.args[0]
    text = words(window)
    assert len(error.faults) > 2
    for fault in error.faults:
        assert fault.path in text
        assert fault.allowed in text
    assert "Read it again" in text


def test_a_missing_file_is_said(window_of: Open, tmp_path: Path, qtbot: QtBot) -> None:
    window = window_of("proved")
    with qtbot.waitSignal(window.opening.asker.failed, timeout=WAIT_MS):
        window.open_job(tmp_path / "none.toml")
    assert "none.toml" in words(window)


def test_a_finding_leads_to_its_bar(window_of: Open, job_file: Path, plan_file: Path) -> None:
    window = window_of("proved", plan_file, job=job_file)
    assert window.session is not None
    assert window.session.plan is not None
    key = window.session.plan.placements[0].operation
    window.findings.chosen.emit(Finding("test", key, "a", "b", slot=40))
    assert window.board is not None
    assert window.board.look.selected == key


def test_the_plan_is_saved_as_it_came(
    window_of: Open, job_file: Path, plan_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = window_of("proved", plan_file, job=job_file)
    target = tmp_path / "saved.json"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    window.saver.save_plan()
    assert target.read_bytes() == plan_file.read_bytes()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "no" / "dir.json"), ""))
    window.saver.save_plan()
    assert "not saved" in window.statusBar().currentMessage()


@pytest.mark.parametrize("kind", ["pdf", "png", "svg"])
def test_the_board_is_exported(
    window_of: Open,
    job_file: Path,
    plan_file: Path,
    tmp_path: Path,
    kind: str,
    monkeypatch: pytest.MonkeyPatch,
    qtbot: QtBot,
) -> None:
    window = window_of("proved", plan_file, job=job_file)
    target = tmp_path / f"board.{kind}"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    with qtbot.waitSignal(window.saver.asker.answered, timeout=WAIT_MS):
        window.saver.export(kind)
    assert target.stat().st_size > 5_000
    assert "Saved" in window.statusBar().currentMessage()


def test_another_job_takes_the_place_of_one_being_planned(
    window_of: Open, job_file: Path, plan_file: Path, qtbot: QtBot
) -> None:
    window = window_of("until-cancelled", plan_file)
    with qtbot.waitSignal(window.planning.planned, timeout=WAIT_MS):
        window.open_job(job_file)
    first = window.board
    with qtbot.waitSignal(window.planning.planned, timeout=WAIT_MS):
        window.open_job(job_file)
    assert window.board is not first
    window.close()


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080)])
@pytest.mark.parametrize("look", ["light", "dark"])
def test_everything_fits_the_window(
    window_of: Open, job_file: Path, plan_file: Path, size: tuple[int, int], look: str
) -> None:
    window = window_of("proved", plan_file, job=job_file)
    window.looks.set_theme(look)
    window.resize(*size)
    assert (window.width(), window.height()) == size
    assert window.board is not None
    frame = window.board.frame_boxes
    assert frame.rows.height >= 200
    assert frame.legend.bottom <= window.board.viewport().height() + 0.5
    for button in (window.header.plan, window.header.cancel, window.header.aims.list):
        assert window.header.rect().contains(button.geometry())
        assert button.width() >= button.minimumSizeHint().width()


def test_everything_has_a_name_for_screen_readers(window_of: Open, job_file: Path, plan_file: Path) -> None:
    window = window_of("proved", plan_file, job=job_file)
    assert window.board is not None
    for widget in (
        window.board,
        window.details.words,
        window.findings.list,
        window.header.aims.list,
        window.header.aims.more,
        window.header.seconds,
    ):
        assert widget.accessibleName()


def test_the_next_panel_key_goes_round(window_of: Open, job_file: Path, plan_file: Path, qtbot: QtBot) -> None:
    window = window_of("proved", plan_file, job=job_file)
    window.activateWindow()
    assert window.board is not None
    window.board.setFocus()
    window.looks.next_panel()
    assert window.focusWidget() is window.details.words
    window.looks.next_panel()
    assert window.focusWidget() in (window.findings.list, window.board)


def test_settings_come_back_as_they_were(settings: Settings) -> None:
    assert (settings.legend, settings.theme, settings.seconds, settings.density) == (True, "system", 10, None)
    settings.legend = False
    settings.theme = "dark"
    settings.seconds = 45
    settings._store.sync()
    again = Settings(settings._store.__class__(settings._store.fileName(), settings._store.format()))
    assert (again.legend, again.theme, again.seconds) == (False, "dark", 45)
    settings._store.setValue("look/theme", "mauve")
    assert settings.theme == "system"
