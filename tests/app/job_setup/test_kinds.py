"""What stands in a field is read again as the same value; what can't be read says what may be typed."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

import pytest

from app.job_setup.kinds import EXAMPLES, Kind, NotReadableError, read, shown

VALUES: list[tuple[Kind, Any]] = [
    (Kind.TEXT, "Pier 1, west = first"),
    (Kind.WHOLE, 4),
    (Kind.NUMBER, 7.4),
    (Kind.NUMBER, -2.7),
    (Kind.HOURS, 1.5),
    (Kind.HOURS, "01:30"),
    (Kind.CLOCK, "07:30"),
    (Kind.DATE, date(2027, 3, 22)),
    (Kind.DATES, [date(2027, 3, 26), date(2027, 3, 29)]),
    (Kind.MOMENT, datetime(2027, 3, 23, 20)),  # noqa: DTZ001  wall time, as the file has it
    (Kind.IDS, ["nb1", "nb2"]),
    (Kind.AMOUNTS, {"strip_out": 2.5, "prime": "01:30"}),
    (Kind.NAMES, {"epoxy_primer": "epoxy_primer_cold"}),
    (Kind.PAIR, [5, 30]),
    (Kind.PAIR, [-2.5, 30]),
    (Kind.POINTS, [[5, 24], [10, 16.5], [20, 8]]),
    (Kind.YES_NO, True),
]


@pytest.mark.parametrize(("kind", "value"), VALUES)
def test_a_value_comes_back_from_its_field(kind: Kind, value: Any) -> None:
    assert read(shown(value, kind), kind) == value


def test_nothing_typed_is_no_value() -> None:
    assert all(read("  ", kind) is None and shown(None, kind) == "" for kind in Kind)


def test_a_time_of_day_as_toml_has_it_is_shown_alike() -> None:
    assert shown(time(7, 30), Kind.CLOCK) == shown("07:30", Kind.CLOCK) == "07:30"
    assert read("7:30", Kind.CLOCK) == "07:30"


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (Kind.WHOLE, "four"),
        (Kind.NUMBER, "7,4,1"),
        (Kind.HOURS, "an hour"),
        (Kind.CLOCK, "25:00"),
        (Kind.DATE, "22.3.2027"),
        (Kind.DATES, "2027-03-26, soon"),
        (Kind.MOMENT, "2027-03-23"),
        (Kind.AMOUNTS, "strip_out 2.5"),
        (Kind.PAIR, "5-30"),
        (Kind.POINTS, "5 24"),
    ],
)
def test_what_can_not_be_read_says_what_may_be_typed(kind: Kind, text: str) -> None:
    with pytest.raises(NotReadableError, match=text) as told:
        read(text, kind)
    assert EXAMPLES[kind] in str(told.value)
