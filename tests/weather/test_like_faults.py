"""Faults of one kind are told as one, with the first rows, how many they are, and the remedy."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from planner.errors import Fault, ForecastError
from planner.weather.csv_rows import read_table
from planner.weather.like_faults import capped
from planner.weather.services import forecast_series

ZONE = ZoneInfo("Europe/London")
HEADER = "time,air_c,humidity_pct,rain_mm,wind_ms,cloud_pct"


def row(hour: int, air: str = "10", humidity: str = "80") -> str:
    return f"2026-06-{1 + hour // 24:02d}T{hour % 24:02d}:00,{air},{humidity},0,3,40"


def faults_of(text: str | bytes) -> tuple[Fault, ...]:
    with pytest.raises(ForecastError) as caught:
        forecast_series(text if isinstance(text, bytes) else text.encode(), "sheet.csv", ZONE)
    return caught.value.faults


def test_a_unit_in_each_of_49_rows_is_one_fault_with_the_first_rows_and_the_count() -> None:
    (fault,) = faults_of("\n".join([HEADER, *(row(hour, air=f"{50 + hour % 9} F") for hour in range(49))]))
    assert (fault.code, fault.path, fault.line) == ("forecast-number", "air_c", 2)
    assert fault.found == (
        "49 of one kind: '50 F' (line 2), '51 F' (line 3), '52 F' (line 4) and 46 more, the last in line 50"
    )
    assert fault.hint == "Write the number alone, without its unit."


def test_codes_in_two_columns_are_two_faults_and_the_lone_one_stays_as_it_is() -> None:
    rows = [row(hour, air="999", humidity="-9") for hour in range(20)]
    rows[5] = row(5, air="x", humidity="80")
    found = faults_of("\n".join([HEADER, *rows]))
    assert sorted((fault.code, fault.path, fault.found.split(":")[0]) for fault in found) == [
        ("forecast-missing-code", "air_c", "19 of one kind"),
        ("forecast-number", "air_c", "'x'"),
        ("forecast-range", "humidity_pct", "19 of one kind"),
    ]


def test_hours_twice_in_every_row_name_each_their_line_but_are_one_fault() -> None:
    (fault,) = faults_of("\n".join([HEADER, *(row(hour) for hour in range(24)), *(row(hour) for hour in range(24))]))
    assert fault.code == "forecast-time-repeated"
    assert fault.found.startswith("24 of one kind: 2026-06-01T00:00 (line 26), ")
    assert fault.hint == "Line 2 has the same hour; keep one of them."


def test_three_of_a_kind_are_told_singly() -> None:
    rows = [row(hour, air="x" if hour < 3 else "10") for hour in range(9)]
    assert [fault.line for fault in faults_of("\n".join([HEADER, *rows]))] == [2, 3, 4]


def test_faults_without_a_line_are_placed_by_their_path() -> None:
    many = [Fault("forecast-number", f"hourly.rain[{index}]", None, "'x'", "a number") for index in range(12)]
    (fault,) = capped(many)
    assert fault.found.endswith("'x' (hourly.rain[2]) and 9 more, the last in hourly.rain[11]")


def test_no_more_than_fifty_kinds_are_spelt_out() -> None:
    many = [Fault(f"code-{number}", "air_c", number + 2, "'x'", "a number") for number in range(80)]
    found = capped(many)
    assert len(found) == 51
    assert found[-1].code == "forecast-more-faults"
    assert found[-1].found == "and 30 more faults up to this line"


@pytest.mark.parametrize(
    ("encoding", "line", "words"),
    [
        ("utf-16", 1, "UTF-16"),
        ("utf-16-le", 1, "UTF-16"),
        ("utf-16-be", 1, "UTF-16"),
        ("latin-1", 2, "Latin-1"),
        ("cp1252", 2, "Latin-1"),
    ],
)
def test_other_encodings_name_the_remedy(encoding: str, line: int, words: str) -> None:
    data = "\n".join([HEADER, *(row(hour, air="10 °C") for hour in range(9))]).encode(encoding)
    (fault,) = faults_of(data)
    assert (fault.code, fault.line) == ("forecast-encoding", line)
    assert words in fault.found
    assert "UTF-8" in fault.hint


def test_readings_in_another_encoding_too() -> None:
    fault = read_table("time;element;surface_c\n".encode("utf-16"))
    assert isinstance(fault, Fault)
    assert "choose the encoding UTF-8" in fault.hint
