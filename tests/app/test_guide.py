"""First run: what each sample teaches, jobs that are gone, the guide, and a map of keys that tells the truth."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.about import keys_dialog
from app.board import keys as board_keys
from app.guide import GuideDialog
from app.guide_words import GUIDE
from app.key_map import action_words, key_sections, key_words
from app.samples import sample_jobs, teaching_of
from app.settings import Settings
from app.window import MainWindow

NAMES = {
    Qt.Key.Key_Left: "←",
    Qt.Key.Key_Right: "→",
    Qt.Key.Key_Up: "↑",
    Qt.Key.Key_Down: "↓",
    Qt.Key.Key_Minus: "−",
    Qt.Key.Key_PageUp: "Page Up",
    Qt.Key.Key_PageDown: "Page Down",
    Qt.Key.Key_Return: "Enter",
    Qt.Key.Key_Equal: "+",
    Qt.Key.Key_Escape: "Esc",
    Qt.Key.Key_Menu: "Menu key",
}


@pytest.fixture
def window(qtbot: QtBot, settings: Settings, tmp_path: Path) -> MainWindow:
    settings.remember(str(tmp_path / "gone.toml"))
    made = MainWindow(settings, ("false",))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    return made


def test_every_sample_says_what_it_teaches(window: MainWindow) -> None:
    shown = [label.text() for label in window.welcome.findChildren(QLabel)]
    for path in sample_jobs():
        assert teaching_of(path), path.name
        assert teaching_of(path) in shown
    assert sample_jobs()[0].stem == "three_coats"
    assert teaching_of(Path("/other/three_coats.toml")) == ""


def test_a_recent_job_that_is_gone_can_be_taken_off(window: MainWindow, settings: Settings, qtbot: QtBot) -> None:
    buttons = {button.text(): button for button in window.welcome.findChildren(QPushButton)}
    assert not buttons["gone"].isEnabled()
    assert "no longer there" in [label.text() for label in window.welcome.findChildren(QLabel)]
    buttons["Take off the list"].click()
    assert settings.recent == ()
    assert not buttons["gone"].isVisible()


def test_the_guide_walks_each_of_the_three(window: MainWindow, qtbot: QtBot) -> None:
    guide = GuideDialog(window)
    qtbot.addWidget(guide)
    titles = [guide.pages.item(row).text() for row in range(guide.pages.count())]
    assert titles == [walk.title for walk in GUIDE]
    for who in ("board", "foreman", "planner", "supervisor"):
        assert any(who in title for title in titles)
    for row, walk in enumerate(GUIDE):
        guide.pages.setCurrentRow(row)
        text = guide.text.toPlainText()
        assert all(step in text for step in walk.steps)
        assert walk.mind in text


def test_the_guide_names_only_what_there_is(window: MainWindow) -> None:
    words = {action_words(action) for action in window.actions_by_name.values()}
    for walk in GUIDE[1:]:
        for step in walk.steps:
            head = step.split(":")[0]
            if head in {"Weather", "Shift sheet", "On the day, Site record", "Job set-up", "Closures", "Replan"}:
                assert head.removeprefix("On the day, ") in words


def test_the_map_of_keys_says_every_key_of_the_menus(window: MainWindow, qtbot: QtBot) -> None:
    page = keys_dialog(window)
    qtbot.addWidget(page)
    text = page.text.toPlainText()
    with_keys = [action for action in window.actions_by_name.values() if not action.shortcut().isEmpty()]
    assert len(with_keys) > 25
    for action in with_keys:
        assert key_words(action) in text
        assert action_words(action) in text


def test_no_key_means_two_things(window: MainWindow) -> None:
    keys = Counter(
        action.shortcut().toString(QKeySequence.SequenceFormat.PortableText)
        for action in window.actions_by_name.values()
        if not action.shortcut().isEmpty()
    )
    assert [key for key, count in keys.items() if count > 1] == []


def test_every_key_of_the_board_is_on_the_map(window: MainWindow) -> None:
    said = "\n".join(keys + words for keys, words in dict(key_sections(window))["On the board"])
    tables = (board_keys._PLAIN, board_keys._WITH_CONTROL, board_keys._WITH_SHIFT)
    for key in {key for table in tables for key in table} - {Qt.Key.Key_Enter}:
        name = NAMES.get(Qt.Key(key)) or QKeySequence(key).toString()
        assert name in said, name
