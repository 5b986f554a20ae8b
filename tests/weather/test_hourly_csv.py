"""The hourly CSV reader: what it accepts, what it fills, and each fault with its line and remedy."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import Fault, ForecastError
from planner.weather import HourlySeries, read_hourly_csv
from tests.weather.tmy3 import GREENSBORO, SAND_POINT, write_hourly_csv

LONDON = ZoneInfo("Europe/London")
HEADER = "time,air_c,humidity_pct,rain_mm,wind_ms,cloud_pct"
Read = Callable[..., HourlySeries]


def hours(first: str, count: int, step_k: float = 1.0) -> list[str]:
    """Return `count` good rows from a wall time; the air warms from 0 °C by `step_k` each row."""
    start = datetime.fromisoformat(first)
    return [f"{start + timedelta(hours=n):%Y-%m-%dT%H:%M},{n * step_k:g},70,0,3,40" for n in range(count)]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    def reader(*lines: str, text: str | bytes | None = None, zone: ZoneInfo = LONDON) -> HourlySeries:
        path = tmp_path / "forecast.csv"
        content = "\n".join(lines) + "\n" if text is None else text
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_hourly_csv(path, zone)

    return reader


@pytest.fixture
def faults(read: Read) -> Callable[..., list[Fault]]:
    def found(*lines: str, **more: object) -> list[Fault]:
        with pytest.raises(ForecastError) as caught:
            read(*lines, **more)
        assert all(fault.allowed and fault.found for fault in caught.value.faults)
        return list(caught.value.faults)

    return found


Faults = Callable[..., list[Fault]]


class TestAccepts:
    def test_wall_times_of_the_site(self, read: Read) -> None:
        series = read(HEADER, *hours("2026-06-01T00:00", 5))
        assert series.start == datetime(2026, 5, 31, 23, tzinfo=UTC)
        assert list(series.air_c) == [0, 1, 2, 3, 4]
        assert (series.source, series.notes) == ("forecast.csv", ())

    @pytest.mark.parametrize("mark", ["Z", "+00:00", "+01:00", "-05:00"])
    def test_times_with_an_offset(self, read: Read, mark: str) -> None:
        series = read(HEADER, f"2026-06-01T00:00{mark},1,70,0,3,40", f"2026-06-01T01:00{mark},2,70,0,3,40")
        assert series.start == datetime.fromisoformat(f"2026-06-01T00:00{mark}")

    def test_columns_in_any_order_with_others_between(self, read: Read) -> None:
        series = read(
            "Rain_MM,station,time,wind_ms,AIR_C,humidity_pct",
            "0.4,X,2026-06-01 00:00,3.5,11.5,80",
            "0,X,2026-06-01 01:00,3.5,11.0,82",
        )
        assert (series.rain_mm[0], series.air_c[1], series.humidity_pct[1]) == (0.4, 11.0, 82.0)
        assert list(series.cloud_pct) == [60.0, 60.0]

    def test_byte_mark_windows_line_ends_comments_and_blank_lines(self, read: Read) -> None:
        rows = hours("2026-06-01T00:00", 3)
        text = "\r\n".join(["# made by hand", "", HEADER, rows[0], "", "# noon", *rows[1:], ""])
        assert read(text=b"\xef\xbb\xbf" + text.encode()).hours == 3

    @pytest.mark.parametrize("delimiter", [";", "\t"])
    def test_semicolons_and_tabs_with_decimal_commas(self, read: Read, delimiter: str) -> None:
        rows = [HEADER, "2026-06-01T00:00,11.5,70,0.25,3,40", "2026-06-01T01:00,-2.5,70,0,3,40"]
        series = read(*(row.replace(",", delimiter).replace(".", ",") for row in rows))
        assert (list(series.air_c), series.rain_mm[0]) == ([11.5, -2.5], 0.25)

    def test_the_repeated_hour_of_the_autumn_night(self, read: Read) -> None:
        walls = ["00:00", "01:00", "01:00", "02:00"]
        series = read(HEADER, *(f"2026-10-25T{wall},{n},70,0,3,40" for n, wall in enumerate(walls)))
        assert series.start == datetime(2026, 10, 24, 23, tzinfo=UTC)
        assert list(series.air_c) == [0, 1, 2, 3]
        assert series.notes == ()

    def test_a_clock_that_shows_the_repeated_hour_once_leaves_a_hole(self, read: Read) -> None:
        series = read(HEADER, *hours("2026-10-25T00:00", 12))
        assert list(series.air_c[:4]) == [0, 1, 1.5, 2]
        assert "2026-10-25 01:00" in series.notes[0]

    def test_the_skipped_hour_of_the_spring_night_is_no_hole(self, read: Read) -> None:
        rows = [row for row in hours("2026-03-29T00:00", 4) if "T01:00" not in row]
        series = read(HEADER, *rows)
        assert (series.hours, series.notes) == (3, ())

    def test_a_half_hour_zone(self, read: Read) -> None:
        series = read(HEADER, *hours("2026-06-01T00:00", 3), zone=ZoneInfo("Asia/Kolkata"))
        assert series.start == datetime(2026, 5, 31, 18, 30, tzinfo=UTC)

    def test_source_and_time_of_issue(self, tmp_path: Path) -> None:
        path = write_hourly_csv(tmp_path / "f.csv", date(2026, 3, 23), 2, LONDON)
        issued = datetime(2026, 6, 1, 12)  # noqa: DTZ001
        series = read_hourly_csv(str(path), LONDON, source="Test office", issued=issued)
        assert (series.source, series.issued) == ("Test office", datetime(2026, 6, 1, 11, tzinfo=UTC))


class TestFills:
    def test_missing_rows_up_to_three_hours(self, read: Read) -> None:
        rows = hours("2026-06-01T00:00", 40)
        del rows[2:5]
        series = read(HEADER, *rows)
        assert list(series.air_c) == list(range(40))
        assert series.notes == (
            "2026-06-01 02:00 to 2026-06-01 04:00: air_c, cloud_pct, humidity_pct, wind_ms missing, "
            "filled on a straight line; rain_mm missing, taken as dry.",
        )

    @pytest.mark.parametrize("empty", ["", "NA", "nan", "-", "null"])
    def test_an_empty_cell(self, read: Read, empty: str) -> None:
        rows = hours("2026-06-01T00:00", 4)
        rows[2] = rows[2].replace(",2,70", f",{empty},70")
        series = read(HEADER, *rows)
        assert series.air_c[2] == 2.0
        assert series.notes == ("2026-06-01 02:00: air_c missing, filled on a straight line.",)

    def test_missing_rain_is_dry_even_at_the_ends_and_said(self, read: Read) -> None:
        rows = [
            row.replace(",0,3,", ",,3,") if n in (0, 5) else row
            for n, row in enumerate(hours("2026-06-01T00:00", 40))
        ]
        series = read(HEADER, *rows)
        assert (series.rain_mm[0], series.rain_mm[5]) == (0.0, 0.0)
        assert [note[:16] for note in series.notes] == ["2026-06-01 00:00", "2026-06-01 05:00"]

    def test_a_three_hourly_file_is_warned_about_and_its_notes_are_few(self, read: Read) -> None:
        series = read(HEADER, *hours("2026-06-01T00:00", 300, 0.1)[::3])
        assert series.hours == 298
        assert series.air_c == pytest.approx(np.arange(298) / 10)
        assert "is it given hourly?" in series.notes[0]
        assert "79 more holes" in series.notes[-1]
        assert len(series.notes) == 22

    def test_four_missing_rows_are_a_fault(self, faults: Faults) -> None:
        rows = hours("2026-06-01T00:00", 9)
        del rows[2:6]
        (fault,) = faults(HEADER, *rows)
        assert (fault.code, fault.line) == ("forecast-hours-missing", 4)
        assert "4 hours missing" in fault.found

    def test_four_empty_cells_are_a_fault(self, faults: Faults) -> None:
        rows = [
            row.replace(",70,", ",,") if 3 <= n < 7 else row for n, row in enumerate(hours("2026-06-01T00:00", 9))
        ]
        (fault,) = faults(HEADER, *rows)
        assert (fault.code, fault.path, fault.line) == ("forecast-hours-missing", "humidity_pct", 5)

    @pytest.mark.parametrize("at", [0, 8])
    def test_an_empty_cell_at_either_end_is_a_fault(self, faults: Faults, at: int) -> None:
        rows = [row.replace(",3,", ",,") if n == at else row for n, row in enumerate(hours("2026-06-01T00:00", 9))]
        rows[3] = rows[3].replace("T03:00,,", "T03:00,3,")
        (fault,) = faults(HEADER, *rows)
        assert (fault.code, fault.path, fault.line) == ("forecast-hours-missing", "wind_ms", at + 2)


class TestFileFaults:
    def test_no_such_file(self, tmp_path: Path) -> None:
        with pytest.raises(ForecastError) as caught:
            read_hourly_csv(tmp_path / "none.csv", LONDON)
        assert caught.value.faults[0].code == "forecast-unreadable"

    def test_a_folder(self, tmp_path: Path) -> None:
        with pytest.raises(ForecastError) as caught:
            read_hourly_csv(tmp_path, LONDON)
        assert caught.value.faults[0].code == "forecast-unreadable"

    @pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n", HEADER + "\n"])
    def test_empty(self, faults: Faults, text: str) -> None:
        assert [fault.code for fault in faults(text=text)] == ["forecast-empty"]

    @pytest.mark.parametrize(("encoding", "line"), [("utf-16", 1), ("cp1252", 3)])
    def test_wrong_encoding(self, faults: Faults, encoding: str, line: int) -> None:
        text = "\n".join([HEADER, hours("2026-06-01T00:00", 1)[0], "# 5 °C at night"])
        (fault,) = faults(text=text.encode(encoding))
        assert (fault.code, fault.line) == ("forecast-encoding", line)
        assert "UTF-8" in fault.hint

    def test_columns_missing_with_did_you_mean(self, faults: Faults) -> None:
        found = faults("time,air_now_c,humid,rain_mm,wind_gust", *hours("2026-06-01T00:00", 2))
        assert [(fault.code, fault.path) for fault in found] == [
            ("forecast-columns", "air_c"),
            ("forecast-columns", "humidity_pct"),
            ("forecast-columns", "wind_ms"),
        ]
        assert "air_now_c" in found[0].hint
        assert "humid" in found[1].hint

    def test_a_column_given_twice(self, faults: Faults) -> None:
        (fault,) = faults(HEADER + ",air_c", *(row + ",1" for row in hours("2026-06-01T00:00", 2)))
        assert (fault.code, fault.path) == ("forecast-columns", "air_c")

    def test_no_header(self, faults: Faults) -> None:
        assert {fault.code for fault in faults(*hours("2026-06-01T00:00", 3))} == {"forecast-columns"}


def second_row(row: str) -> list[str]:
    """Return three rows with `row` in place of the second."""
    rows = hours("2026-06-01T00:00", 3)
    return [HEADER, rows[0], row, rows[2]]


ROW_FAULTS = [
    ("2026-06-01T01:00,warm,70,0,3,40", "forecast-number", "air_c", ""),
    ("2026-06-01T01:00,12 °C,70,0,3,40", "forecast-number", "air_c", "without its unit"),
    ("2026-06-01T01:00,inf,70,0,3,40", "forecast-number", "air_c", ""),
    ("2026-06-01T01:00,1_0,70,0,3,40", "forecast-number", "air_c", ""),
    ("2026-06-01T01:00,999,70,0,3,40", "forecast-missing-code", "air_c", "empty cell"),
    ("2026-06-01T01:00,10,-9999,0,3,40", "forecast-missing-code", "humidity_pct", "empty cell"),
    ("2026-06-01T01:00,10,70,-99.9,3,40", "forecast-missing-code", "rain_mm", "empty cell"),
    ("2026-06-01T01:00,61,70,0,3,40", "forecast-range", "air_c", "°F"),
    ("2026-06-01T01:00,283.15,70,0,3,40", "forecast-range", "air_c", "K?"),
    ("2026-06-01T01:00,10,101,0,3,40", "forecast-range", "humidity_pct", ""),
    ("2026-06-01T01:00,10,70,-0.1,3,40", "forecast-range", "rain_mm", ""),
    ("2026-06-01T01:00,10,70,0,120,40", "forecast-range", "wind_ms", "km/h"),
    ("2026-06-01T01:00,10,70,0,3,140", "forecast-range", "cloud_pct", ""),
    ("2026-06-01T01:00,10,5,70,0,3,40", "forecast-cells", "row", "point"),
    ("2026-06-01T01:00,10,70", "forecast-cells", "row", "empty cells"),
    ("01/06/2026 01:00,10,70,0,3,40", "forecast-time", "time", "year-month-day"),
    (",10,70,0,3,40", "forecast-time", "time", ""),
    ("2026-06-01T24:00,10,70,0,3,40", "forecast-time", "time", "00:00 of the next day"),
    ("2026-06-01,10,70,0,3,40", "forecast-time", "time", "Add the hour"),
    ("2026-06-01T01:30,10,70,0,3,40", "forecast-time", "time", "full hour"),
    ("0001-01-01T00:00,10,70,0,3,40", "forecast-time", "time", "year"),
    ("2026-06-01T00:00,10,70,0,3,40", "forecast-time-repeated", "time", "Line 2"),
    ("2026-05-31T22:00,10,70,0,3,40", "forecast-time-order", "time", "Sort"),
    ("2026-03-29T01:00,10,70,0,3,40", "forecast-time-skipped", "time", "clocks go forward"),
]


@pytest.mark.parametrize(("row", "code", "column", "hint"), ROW_FAULTS)
def test_a_faulty_row(faults: Faults, row: str, code: str, column: str, hint: str) -> None:
    (fault,) = faults(*second_row(row))
    assert (fault.code, fault.path, fault.line) == (code, column, 3)
    assert hint in fault.hint


def test_a_third_repeated_hour_is_one_too_many(faults: Faults) -> None:
    rows = [f"2026-10-25T{wall},5,70,0,3,40" for wall in ("00:00", "01:00", "01:00", "01:00", "02:00")]
    (fault,) = faults(HEADER, *rows)
    assert (fault.code, fault.line) == ("forecast-time-repeated", 5)


def test_all_faults_are_reported_at_once_in_file_order(faults: Faults) -> None:
    found = faults(HEADER, *(row for row, *_ in ROW_FAULTS))
    assert [fault.line for fault in found] == sorted(fault.line or 0 for fault in found)
    assert {fault.code for fault in found} >= {code for _, code, *_ in ROW_FAULTS} - {"forecast-time-order"}


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
@pytest.mark.parametrize(
    ("zone", "first"), [("Europe/London", date(2026, 3, 23)), ("America/New_York", date(2026, 10, 20))]
)
def test_real_weather_goes_through(tmp_path: Path, name: str, zone: str, first: date) -> None:
    series = read_hourly_csv(write_hourly_csv(tmp_path / "real.csv", first, 35, ZoneInfo(zone), name), ZoneInfo(zone))
    assert series.start.astimezone(ZoneInfo(zone)).replace(tzinfo=None) == datetime.combine(
        first, datetime.min.time()
    )
    assert series.hours >= 35 * 24 + 1
    assert series.notes == ()


ROUND_TRIP = st.lists(
    st.tuples(st.floats(-50, 50), st.floats(0, 100), st.floats(0, 90), st.floats(0, 60), st.floats(0, 100)),
    min_size=2,
    max_size=30,
)


@settings(max_examples=50, deadline=None)
@given(rows=ROUND_TRIP, start=st.datetimes(datetime(2026, 3, 28), datetime(2026, 11, 2)), wall=st.booleans())  # noqa: DTZ001
def test_what_is_written_is_read(
    tmp_path_factory: pytest.TempPathFactory,
    rows: list[tuple[float, float, float, float, float]],
    start: datetime,
    wall: bool,
) -> None:
    first = start.replace(minute=0, second=0, microsecond=0, tzinfo=UTC)
    if wall and first.astimezone(LONDON).fold:
        # By wall time alone the first row of a file can't be known for the repeated hour.
        first += timedelta(hours=1)
    lines = [HEADER]
    for n, row in enumerate(rows):
        local = (first + timedelta(hours=n)).astimezone(LONDON)
        text = f"{local:%Y-%m-%dT%H:%M}" if wall else local.isoformat()
        lines.append(",".join([text, *(repr(number) for number in row)]))
    path = tmp_path_factory.mktemp("trip") / "f.csv"
    path.write_text("\n".join(lines))
    series = read_hourly_csv(path, LONDON)
    assert series.start == first
    columns = (series.air_c, series.humidity_pct, series.rain_mm, series.wind_ms, series.cloud_pct)
    assert [tuple(row) for row in np.column_stack(columns)] == rows


cells = st.one_of(
    st.sampled_from(
        ["", "5", "-3.5", "999", "1e3", "x", '"', "2026-06-01T00:00", "2026-10-25T01:00", "2026-06-01T02:00Z"]
    ),
    st.text(max_size=6),
)
tables = st.lists(st.lists(cells, min_size=1, max_size=8).map(",".join), max_size=12).map("\n".join)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.binary(max_size=200), tables.map(lambda text: f"{HEADER}\n{text}".encode("utf-8", "ignore"))))
def test_whatever_the_file_holds_it_is_a_series_or_words(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    path = tmp_path_factory.getbasetemp() / "anything.csv"
    path.write_bytes(content)
    found: HourlySeries | tuple[Fault, ...]
    try:
        found = read_hourly_csv(path, LONDON)
    except ForecastError as error:
        found = error.faults
    if isinstance(found, HourlySeries):
        assert not any(np.isnan(values).any() for values in (found.air_c, found.rain_mm, found.wind_ms))
    else:
        assert found
