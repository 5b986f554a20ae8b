"""Readings from a CSV file: what is read, and every fault in its line."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from planner.model import Job
from planner.weather.readings import Reading, ReadingsError, read_readings_csv
from tests.jobs import element, make_job, small_fields

GOOD = "time,element,surface_c\n2026-03-28T13:20,deck_nb,11.4\n2026-03-28T13:25Z,shelf_n,8\n"


@pytest.fixture(scope="module")
def job() -> Job:
    """Three days over the spring change of 29 March 2026."""
    fields = small_fields()
    fields["job"] = {**fields["job"], "first_day": date(2026, 3, 28), "days": 3}
    fields["elements"] = [element("deck_nb"), element("shelf_n")]
    return make_job(fields)


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "readings.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def test_readings_in_order_of_time(tmp_path: Path, job: Job) -> None:
    text = "# by hand\nelement;note;surface_c;time\nshelf_n;wet;8,5;2026-03-30T09:00\ndeck_nb;;;2026-03-28T10:00\n"
    text += "deck_nb;;-1;2026-03-29T00:30\n"
    assert read_readings_csv(written(tmp_path, text), job) == (
        Reading("deck_nb", datetime(2026, 3, 29, 0, 30, tzinfo=UTC), -1.0),
        Reading("shelf_n", datetime(2026, 3, 30, 8, 0, tzinfo=UTC), 8.5),
    )


def test_offsets_and_wall_times(tmp_path: Path, job: Job) -> None:
    read = read_readings_csv(written(tmp_path, GOOD), job)
    assert [one.time for one in read] == [
        datetime(2026, 3, 28, 13, 20, tzinfo=UTC),
        datetime(2026, 3, 28, 13, 25, tzinfo=UTC),
    ]


DAMAGES = [
    ("deck_nb", "deck_n", "readings-element", 2, "'deck_nb'"),
    ("deck_nb", "", "readings-element", 2, ""),
    ("11.4", "warm", "readings-number", 2, ""),
    ("11.4", "11.4 C", "readings-number", 2, "without its unit"),
    ("11.4", "nan", "readings-range", 2, ""),
    ("11.4", "284.5", "readings-range", 2, "°F or K"),
    ("2026-03-28T13:20", "28.3.2026 13:20", "readings-time", 2, "year-month-day"),
    ("2026-03-28T13:20", "2026-03-28", "readings-time", 2, "time of day"),
    ("2026-03-28T13:20", "2026-03-29T01:30", "readings-time", 2, "clocks go forward"),
    ("2026-03-28T13:20", "2026-04-28T13:20", "readings-outside", 2, ""),
    ("surface_c", "surface", "readings-columns", 1, "Did you mean surface_c by 'surface'"),
    ("time,element", "time,element,time", "readings-columns", 1, "Rename one."),
    (",11.4", "", "readings-cells", 2, ""),
    ("11.4\n2026-03-28T13:25Z,shelf_n,8", "", "readings-empty", 1, ""),
    ("\n2026-03-28T13:20,deck_nb,11.4\n2026-03-28T13:25Z,shelf_n,8", "", "readings-empty", 1, ""),
]


@pytest.mark.parametrize(("old", "new", "code", "line", "hint"), DAMAGES)
def test_one_damage_is_one_fault_in_its_line(
    tmp_path: Path, job: Job, old: str, new: str, code: str, line: int, hint: str
) -> None:
    assert GOOD.count(old) >= 1
    with pytest.raises(ReadingsError) as caught:
        read_readings_csv(written(tmp_path, GOOD.replace(old, new, 1)), job)
    [fault] = caught.value.faults
    assert (fault.code, fault.line) == (code, line)
    assert hint in fault.hint


def test_all_faults_at_once(tmp_path: Path, job: Job) -> None:
    text = GOOD + "2026-03-28T14:00,deck_nb,hot\n2026-03-28T15:00,dock,9\nsoon,deck_nb,hot\n"
    with pytest.raises(ReadingsError) as caught:
        read_readings_csv(written(tmp_path, text), job)
    assert [(fault.line, fault.path) for fault in caught.value.faults] == [
        (4, "surface_c"),
        (5, "element"),
        (6, "surface_c"),
        (6, "time"),
    ]


@pytest.mark.parametrize(
    ("data", "code"), [(b"time,element,surface_c\n\xff\xfe", "readings-encoding"), (b"", "readings-empty")]
)
def test_what_is_no_text(tmp_path: Path, job: Job, data: bytes, code: str) -> None:
    with pytest.raises(ReadingsError) as caught:
        read_readings_csv(written(tmp_path, data), job)
    assert [fault.code for fault in caught.value.faults] == [code]


def test_no_such_file(tmp_path: Path, job: Job) -> None:
    with pytest.raises(ReadingsError, match="No such file"):
        read_readings_csv(tmp_path / "none.csv", job)
