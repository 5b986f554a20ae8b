"""The days of a shift: ticked where the rule is plain weekdays, typed where it is more."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.job_setup.week_days import WeekDays, rule_of, weekdays_of


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        ("FREQ=DAILY", {0, 1, 2, 3, 4, 5, 6}),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", {0, 1, 2, 3, 4}),
        ("BYDAY=SU,SA;FREQ=WEEKLY", {5, 6}),
        ("freq=weekly;byday=we", {2}),
    ],
)
def test_plain_rules_are_days(rule: str, days: set[int]) -> None:
    assert weekdays_of(rule) == days
    assert weekdays_of(rule_of(frozenset(days))) == days


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO",
        "FREQ=WEEKLY",
        "FREQ=DAILY;COUNT=3",
        "FREQ=MONTHLY;BYDAY=1MO",
        "FREQ=WEEKLY;BYDAY=XX",
        "nothing",
        "",
    ],
)
def test_other_rules_are_no_days(rule: str) -> None:
    assert weekdays_of(rule) is None


def test_days_are_ticked_and_another_rule_is_typed(qtbot: QtBot) -> None:
    field = WeekDays()
    qtbot.addWidget(field)
    field.setText("FREQ=WEEKLY;BYDAY=MO,TU")
    field.show()
    told: list[str] = []
    field.changed.connect(told.append)
    assert not field.rule.isVisible()
    field.boxes[5].click()
    assert told[-1] == field.text() == "FREQ=WEEKLY;BYDAY=MO,TU,SA"
    height = field.sizeHint().height()
    field.other.click()
    assert field.sizeHint().height() == height
    assert field.rule.text() == "FREQ=WEEKLY;BYDAY=MO,TU,SA"
    field.rule.selectAll()
    qtbot.keyClicks(field.rule, "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO")
    qtbot.keyClick(field.rule, Qt.Key.Key_Return)
    assert told[-1] == field.text() == "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO"
    field.setText("FREQ=WEEKLY;BYDAY=MO")
    assert [box.isChecked() for box in field.boxes] == [True] + [False] * 6
    field.boxes[0].click()
    assert told[-1] == ""
