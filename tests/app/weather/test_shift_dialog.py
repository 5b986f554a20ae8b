"""The form of a shift: Thursday night, clock changes, and the words for what it does."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from pytestqt.qtbot import QtBot

from app.weather.shift_dialog import ShiftDialog, shift_words
from app.weather.snapshot import Shift
from app.weather.time_words import hour_words, next_weekday_evening
from tests.app.weather.cases import LONDON, made

THURSDAY = 3


@pytest.mark.parametrize(
    ("after", "evening"),
    [
        ("2027-03-22T00:00", "2027-03-25T20:00"),
        ("2027-03-25T19:00", "2027-03-25T20:00"),
        ("2027-03-25T20:00", "2027-03-25T20:00"),
        ("2027-03-25T21:00", "2027-04-01T19:00"),
    ],
)
def test_thursday_night_is_the_next_one_on_the_sites_clock(after: str, evening: str) -> None:
    """All in UTC; from 28 March the site's 20:00 is 19:00 UTC."""
    moments = [datetime.fromisoformat(text).replace(tzinfo=UTC) for text in (after, evening)]
    assert next_weekday_evening(moments[0], THURSDAY, 20, LONDON) == moments[1]


def test_the_form_gives_hours_of_the_series(qtbot: QtBot) -> None:
    series = made()
    dialog = ShiftDialog(series, LONDON, 92, 168)
    qtbot.addWidget(dialog)
    assert dialog.by_k.value() == 3.0
    assert dialog.start.day.currentText() == "Thu 25 Mar 2027"
    assert dialog.start.hour.currentText() == "20:00"
    assert dialog.shift == Shift(92, 168, -3.0, keep_dew=True)
    assert "77 hours change, Thu 25 Mar 20:00 to Mon 29 Mar 01:00" in dialog.words.text()
    dialog.way.setCurrentIndex(1)
    dialog.keep_humidity.setChecked(True)
    assert dialog.shift == Shift(92, 168, 3.0, keep_dew=False)


def test_an_end_before_the_beginning_cannot_be_accepted(qtbot: QtBot) -> None:
    dialog = ShiftDialog(made(), LONDON, 92, 168)
    qtbot.addWidget(dialog)
    dialog.end.choose(20)
    assert not dialog.buttons.buttons()[0].isEnabled()
    assert "before" in dialog.words.text()


@pytest.mark.parametrize("index", [0, 23, 144, 145, 168])
def test_an_hour_chosen_is_the_hour_given_over_the_clock_change(qtbot: QtBot, index: int) -> None:
    dialog = ShiftDialog(made(), LONDON, index, 168)
    qtbot.addWidget(dialog)
    assert dialog.start.index == index


def test_the_undo_list_has_words(qtbot: QtBot) -> None:
    series = made()
    words = shift_words(Shift(92, 168, -3.0), series, LONDON)
    assert words == f"3 °C colder from {hour_words(series, 92, LONDON)}"
    assert words == "3 °C colder from Thu 25 Mar 20:00"


def test_everything_has_a_name_for_screen_readers(qtbot: QtBot) -> None:
    dialog = ShiftDialog(made(), LONDON, 0, 5)
    qtbot.addWidget(dialog)
    boxes = (dialog.by_k, dialog.way, dialog.start.day, dialog.start.hour, dialog.end.day, dialog.end.hour)
    assert all(box.accessibleName() for box in boxes)
