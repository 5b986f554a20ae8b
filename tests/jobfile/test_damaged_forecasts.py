"""Damaged forecast files: each is refused with its place and a remedy, and the old forecast stays as it was."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from planner.cli import main
from planner.errors import ForecastError, JobFileError
from planner.jobfile.forecast_file import replace_forecast
from planner.jobfile.load import load_job
from planner.weather.forecast_bytes import MAX_BYTES
from planner.weather.services import read_forecast
from tests.jobfile.texts import GOOD
from tests.weather.answers import location_answer, model_answer

LONDON = ZoneInfo("Europe/London")
BEFORE = datetime(2024, 6, 2, 22, tzinfo=UTC)
HEAD = "time,air_c,humidity_pct,rain_mm,wind_ms"
SHEET = "\n".join(
    [
        HEAD,
        *(f"{datetime(2024, 6, 3) + timedelta(hours=n):%Y-%m-%dT%H:%M},{12 + n % 24 / 4},80,0,3" for n in range(73)),  # noqa: DTZ001
    ]
)
"""A good sheet for the job in GOOD: 3 to 5 June 2024, one row an hour; line n + 2 is hour n."""


def sheet(*changes: tuple[str, str]) -> bytes:
    text = SHEET
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text.encode()


def cells(column: int, change: Callable[[float], float]) -> bytes:
    """Return the sheet with one column changed in every row."""
    head, *rows = SHEET.split("\n")
    split = [row.split(",") for row in rows]
    for row in split:
        row[column] = f"{change(float(row[column])):g}"
    return "\n".join([head, *(",".join(row) for row in split)]).encode()


def without(first: int, count: int) -> bytes:
    lines = SHEET.split("\n")
    return "\n".join(lines[: first + 1] + lines[first + 1 + count :]).encode()


def model(**more: Any) -> bytes:
    return json.dumps(model_answer(hours=80, start=BEFORE, **more)).encode()


def changed(answer: dict[str, Any], *path: Any, value: Any) -> bytes:
    """Return an answer with one value in it changed."""
    holder: Any = answer
    for key in path[:-1]:
        holder = holder[key]
    holder[path[-1]] = value
    return json.dumps(answer).encode()


def night(*walls: str) -> bytes:
    return "\n".join([HEAD, *(f"{wall},5,80,0,3" for wall in walls)]).encode()


LOCATION = location_answer(hourly=80, six_hourly=2, start=BEFORE)
DETAILS = ("properties", "timeseries", 9, "data", "instant", "details")


@dataclass(frozen=True)
class Damage:
    """A damaged file, and what must be said of it: the code, the line or path, and a word of the remedy."""

    name: str
    data: bytes
    code: str
    place: int | str
    remedy: str


DAMAGES = [
    Damage("empty", b"", "forecast-empty", 1, "again"),
    Damage("blank lines only", b"\n \n\n", "forecast-empty", 1, "again"),
    Damage("a header and no rows", HEAD.encode(), "forecast-empty", 1, "again"),
    Damage("50 MB", b"time,air_c\n" + b"0" * 50_000_000, "forecast-too-large", "file", "Cut"),
    Damage("ten years of rows", (HEAD + "\n2024-06-03T00:00,5,80,0,3" * 90_000).encode(), "forecast-too-large",
           20_002, "Cut"),
    Damage("UTF-16", SHEET.encode("utf-16"), "forecast-encoding", 1, "UTF-8"),
    Damage("an old code page", f"# in °C\n{SHEET}".encode("cp1252"),
           "forecast-encoding", 1, "UTF-8"),
    Damage("noise", bytes(range(256)) * 40, "forecast-encoding", 2, "UTF-8"),
    Damage("a web page", b"<!DOCTYPE html><html><title>Sign in</title></html>", "forecast-kind", 1, "sign-in"),
    Damage("a spreadsheet", b"PK\x03\x04" + bytes(500), "forecast-kind", 1, "CSV"),
    Damage("an old spreadsheet", b"\xd0\xcf\x11\xe0" + bytes(500), "forecast-kind", 1, "CSV"),
    Damage("a compressed sheet", gzip.compress(SHEET.encode()), "forecast-kind", 1, "Unpack"),
    Damage("a PDF", b"%PDF-1.7\n", "forecast-kind", 1, "CSV or JSON"),
    Damage("no time column", sheet(("time,", "row,")), "forecast-columns", "time", "time=HEADER"),
    Damage("no humidity", sheet(("humidity_pct", "pressure")), "forecast-columns", "humidity_pct", "say which"),
    Damage("two columns of air", sheet(("wind_ms", "air_c")), "forecast-columns", "air_c", "Rename"),
    Damage("no header", SHEET.split("\n", 1)[1].encode(), "forecast-columns", "air_c", "Name the column"),
    Damage("text in a number", sheet(("T05:00,13.25", "T05:00,mild")), "forecast-number", 7, ""),
    Damage("a unit in a number", sheet(("T05:00,13.25", "T05:00,13 °C")), "forecast-number", 7, "without its unit"),
    Damage("999 for missing", sheet(("T05:00,13.25", "T05:00,999")), "forecast-missing-code", 7, "empty cell"),
    Damage("-9999 for missing", sheet(("13.25,80", "13.25,-9999")), "forecast-missing-code", 7, "empty cell"),
    Damage("°F taken for °C, cool days", cells(1, lambda c: (c - 5) * 1.8 + 32), "forecast-fahrenheit", "air_c",
           "air_c=NAME[F]"),
    Damage("°F taken for °C, mild days", cells(1, lambda c: c * 1.8 + 32), "forecast-range", 17, "air_c=NAME[F]"),
    Damage("K taken for °C", cells(1, lambda c: c + 273.15), "forecast-range", 2, "°F or K"),
    Damage("fractions taken for percent", cells(2, lambda p: p / 100), "forecast-fraction", "humidity_pct",
           "[fraction]"),
    Damage("a gale in km/h", cells(4, lambda _: 110.0), "forecast-range", 2, "km/h"),
    Damage("humidity of 180 %", sheet(("13.25,80", "13.25,180")), "forecast-range", 7, "%"),
    Damage("rain below 0", sheet(("13.25,80,0", "13.25,80,-1")), "forecast-range", 7, ""),
    Damage("decimal commas among commas", sheet(("13.25", "13,25")), "forecast-cells", 7, "point"),
    Damage("a row cut off", SHEET[: len(SHEET) - 7].encode(), "forecast-cells", 74, "empty cells"),
    Damage("day first", sheet(("2024-06-03", "03/06/2024")), "forecast-time", 2, "[dmy]"),
    Damage("24:00", sheet(("2024-06-04T00:00", "2024-06-03T24:00")), "forecast-time", 26, "00:00 of the next day"),
    Damage("half hours", sheet(("2024-06-03T05:00", "2024-06-03T05:30")), "forecast-time", 7, "full hour"),
    Damage("a slip in the year", sheet(("2024-06-05T00:00", "2204-06-05T00:00")), "forecast-time", 50, "year"),
    Damage("an hour twice", sheet(("2024-06-03T06:00", "2024-06-03T05:00")), "forecast-time-repeated", 8, "Line 7"),
    Damage("newest first", "\n".join([HEAD, *reversed(SHEET.split("\n")[1:])]).encode(), "forecast-time-order", 3,
           "Sort"),
    Damage("an hour three times as the clocks go back",
           night("2024-10-27T00:00", "2024-10-27T01:00", "2024-10-27T01:00", "2024-10-27T01:00"),
           "forecast-time-repeated", 5, "keep one"),
    Damage("an hour that does not exist as the clocks go forward", night("2024-03-31T00:00", "2024-03-31T01:00"),
           "forecast-time-skipped", 3, "offset"),
    Damage("JSON cut off", model()[:-300], "forecast-json", 1, "cut off"),
    Damage("JSON cut off in a word", model()[:-1500], "forecast-json", 1, "again"),
    Damage("JSON with NaN", model().replace(b"18.0", b"NaN", 1), "forecast-json", "file", "again"),
    Damage("JSON with a slip", model().replace(b'"hourly":', b'"hourly"', 1), "forecast-json", 1, "again"),
    Damage("JSON nested without end", b"[" * 100_000, "forecast-json", "file", "again"),
    Damage("an error in place of a forecast", b'{"error": true, "reason": "Latitude out of range"}',
           "forecast-refused", "answer", "stays as it is"),
    Damage("days and no hours", b'{"daily": {"time": ["2024-06-03"]}}', "forecast-kind", "answer", "hourly"),
    Damage("numbers as text", model(temperature_2m=["12.5"] * 80), "forecast-number", "hourly.temperature_2m[0]",
           "again"),
    Damage("arrays of different lengths", model(precipitation=[0.0] * 79), "forecast-cells",
           "hourly.precipitation", "again"),
    Damage("a unit nobody knows",
           changed(model_answer(start=BEFORE), "hourly_units", "wind_speed_10m", value="Bft"),
           "forecast-unit", "hourly_units.wind_speed_10m", "m/s"),
    Damage("°F stated as °C", model(temperature_2m=[55.0] * 80), "forecast-fahrenheit", "air_c", "°F"),
    Damage("an hour twice in JSON",
           changed(model_answer(start=BEFORE), "hourly", "time", 1, value="2024-06-02T22:00"),
           "forecast-time-repeated", "hourly.time[1]", "UTC"),
    Damage("999 in a location forecast", changed(LOCATION, *DETAILS, "relative_humidity", value=999),
           "forecast-missing-code", "properties.timeseries[9].data.instant.details.relative_humidity", "null"),
]  # fmt: skip
NEEDED_BY_THE_JOB = [
    Damage("ten hours missing", without(20, 10), "forecast-missing", "forecast.air_c", "Fill"),
    Damage("nulls for a day", model(temperature_2m=[12.0] * 30 + [None] * 24 + [12.0] * 26), "forecast-missing",
           "forecast.air_c", "Fill"),
    Damage("a day too short", without(48, 25), "forecast-too-short", "forecast", "Add the missing hours"),
    Damage("another month", SHEET.replace("2024-06", "2024-07").encode(), "forecast-too-short", "forecast", "Add"),
]  # fmt: skip


def by_name(damage: Damage) -> str:
    return damage.name


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(GOOD, "utf-8")
    return path


def test_there_are_more_than_thirty_and_the_sheet_itself_is_good(tmp_path: Path, job: Path) -> None:
    assert len({damage.name for damage in DAMAGES + NEEDED_BY_THE_JOB}) >= 50
    (tmp_path / "good.csv").write_text(SHEET)
    assert load_job(job, tmp_path / "good.csv").weather.air_c[0] == 12.0
    (tmp_path / "good.json").write_bytes(model())
    assert load_job(job, tmp_path / "good.json").weather.wind_ms[0] == pytest.approx(5.0)


@pytest.mark.parametrize("damage", DAMAGES, ids=by_name)
def test_it_is_refused_with_its_place_and_a_remedy(damage: Damage, tmp_path: Path) -> None:
    file = tmp_path / "forecast"
    file.write_bytes(damage.data)
    with pytest.raises(ForecastError) as caught:
        read_forecast(file, LONDON)
    first = caught.value.faults[0]
    assert first.code == damage.code
    assert damage.place == (first.line if isinstance(damage.place, int) else first.path)
    assert damage.remedy in first.hint
    assert first.hint or "empty cell" in first.allowed
    assert len(first.found) < 400


@pytest.mark.parametrize("damage", DAMAGES, ids=by_name)
def test_the_old_forecast_stays(damage: Damage, tmp_path: Path) -> None:
    old = tmp_path / "hours.csv"
    old.write_text(SHEET)
    with pytest.raises(ForecastError):
        replace_forecast(old, damage.data, LONDON)
    assert old.read_text() == SHEET
    assert [file.name for file in tmp_path.iterdir()] == ["hours.csv"]


def test_a_good_one_takes_its_place_byte_by_byte(tmp_path: Path) -> None:
    old = tmp_path / "hours.csv"
    old.write_text(SHEET)
    assert replace_forecast(old, model(), LONDON).source == "hours.csv"
    assert old.read_bytes() == model()


@pytest.mark.parametrize("damage", [*DAMAGES, *NEEDED_BY_THE_JOB], ids=by_name)
def test_the_job_says_it_too_and_which_file_it_is(damage: Damage, tmp_path: Path, job: Path) -> None:
    file = tmp_path / "forecast"
    file.write_bytes(damage.data)
    with pytest.raises(JobFileError) as caught:
        load_job(job, file)
    assert isinstance(caught.value, ForecastError)
    assert damage.code in [fault.code for fault in caught.value.faults]
    assert caught.value.file.endswith(("forecast", "file"))
    assert file.read_bytes() == damage.data


@pytest.mark.parametrize("damage", NEEDED_BY_THE_JOB, ids=by_name)
def test_what_the_job_needs_and_the_file_has_not(damage: Damage, tmp_path: Path, job: Path) -> None:
    file = tmp_path / "forecast"
    file.write_bytes(damage.data)
    with pytest.raises(JobFileError) as caught:
        load_job(job, file)
    first = caught.value.faults[0]
    assert (first.code, first.path) == (damage.code, damage.place)
    assert damage.remedy in first.hint
    assert "2024-0" in first.found


def test_a_gap_outside_the_jobs_days_does_not_matter_and_is_said(tmp_path: Path, job: Path) -> None:
    early = [f"2024-06-01T{hour:02d}:00,12,80,0,3" for hour in range(5)]
    file = tmp_path / "forecast"
    file.write_text("\n".join([HEAD, *early, *SHEET.split("\n")[1:]]))
    notes = load_job(job, file).notes
    assert any("left open (43 h)" in note.found for note in notes)


@pytest.mark.parametrize("command", ["plan", "audit", "gaps"])
def test_the_command_line_says_it_on_one_line_with_exit_2(
    command: str, tmp_path: Path, job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "forecast"
    file.write_bytes(sheet(("T05:00,13.25", "T05:00,mild"), ("T07:00,13.75", "T07:00,999")))
    plan = [] if command == "plan" else [str(tmp_path / "plan.json")]
    assert main([command, str(job), *plan, "--weather", str(file)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    lines = said.err.splitlines()
    assert any("forecast: line 7: air_c: found 'mild'" in line for line in lines), lines
    assert any("line 9: air_c: found 999" in line and "empty cell" in line for line in lines), lines


def test_a_file_too_large_is_not_read_to_its_end(tmp_path: Path) -> None:
    file = tmp_path / "huge"
    with file.open("wb") as huge:
        huge.truncate(400 * MAX_BYTES)
    with pytest.raises(ForecastError) as caught:
        read_forecast(file, LONDON)
    assert caught.value.faults[0].code == "forecast-too-large"
