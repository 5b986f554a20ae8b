"""Forecasts in place of the job's own: kinds, columns and units, and whose word counts on source and issue."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planner.errors import JobFileError
from planner.findings import Weight
from planner.jobfile.load import LoadedJob, load_job
from planner.weather import daily_to_hourly, make_weather
from planner.weather.day_shape import Lags
from tests.cli.files import job_file, run
from tests.jobfile.texts import GOOD, damaged
from tests.weather.answers import location_answer, model_answer

BEFORE = datetime(2024, 6, 2, 22, tzinfo=UTC)
DAYS = GOOD[GOOD.index("days = [\n") : GOOD.index("[[structures]]")]
SHEET = "\n".join(
    ["Wann;Luft;Feuchte;Nass;Brise"]
    + [f"{3 + n // 24:02d}.06.2024 {n % 24}:00;50,0;80;0;36" for n in range(72)]
    + ["06.06.2024 0:00;50,0;80;0;36"]
)
MAP = "time=Wann[dmy], air_c=Luft[F], humidity_pct=#3, rain_mm=Nass[mm], wind_ms=Brise[km/h]"
STATED = '\nsource = "typed by hand"\nissued = 2024-06-02T18:00:00\n\n'


def saved(folder: Path, text: str = GOOD) -> Path:
    path = folder / "job.toml"
    path.write_text(text, "utf-8")
    return path


def told(loaded: LoadedJob) -> str:
    return " ".join(f"{note.found}. {note.remedy}" for note in loaded.notes)


def test_a_sheet_in_other_words_and_units_with_its_columns_said(tmp_path: Path) -> None:
    (tmp_path / "blatt.csv").write_text(SHEET)
    loaded = load_job(saved(tmp_path), tmp_path / "blatt.csv", columns=MAP)
    assert loaded.weather.air_c[0] == pytest.approx(10.0)
    assert loaded.weather.wind_ms[0] == pytest.approx(10.0)
    assert "'Luft' as air_c in °F" in told(loaded)


def test_the_job_file_may_say_the_columns_of_its_own_sheet(tmp_path: Path) -> None:
    (tmp_path / "blatt.csv").write_text(SHEET)
    text = damaged(DAYS, f'hourly = "blatt.csv"\ncolumns = "{MAP}"\n\n')
    assert load_job(saved(tmp_path, text)).weather.air_c[0] == pytest.approx(10.0)
    other = MAP.replace("[F]", "[C]")
    with pytest.raises(JobFileError) as caught:
        load_job(saved(tmp_path, text), columns=other)
    assert caught.value.faults[0].code == "forecast-fahrenheit"


def test_columns_said_of_a_forecast_without_columns_are_not_passed_over_silently(tmp_path: Path) -> None:
    answer = tmp_path / "answer.json"
    answer.write_text(json.dumps(model_answer(hours=80, start=BEFORE)))
    assert "of columns (air_c=Temp[F]) is passed over: this forecast is JSON" in told(
        load_job(saved(tmp_path), answer, columns="air_c=Temp[F]")
    )
    assert "is passed over: this forecast is typed in the job file" in told(
        load_job(saved(tmp_path), columns="air_c=Temp[F]")
    )
    assert "passed over" not in told(load_job(saved(tmp_path), answer))


def test_without_them_it_is_asked_for_them(tmp_path: Path) -> None:
    (tmp_path / "blatt.csv").write_text(SHEET)
    with pytest.raises(JobFileError) as caught:
        load_job(saved(tmp_path), tmp_path / "blatt.csv")
    assert {fault.path for fault in caught.value.faults} == {"time", "air_c", "rain_mm", "wind_ms"}


@pytest.mark.parametrize(
    ("forecast", "code"),
    [
        (DAYS.rstrip() + '\ncolumns = "air_c=T"\n\n', "bad-value"),
        ('hourly = "x.csv"\nday_shape = { high_h = 1.6, decay = 2.0, low_h = 0.5 }\n\n', "bad-value"),
        (DAYS.rstrip() + "\nday_shape = { high_h = 9, decay = 2.0, low_h = 0.5 }\n\n", "out-of-range"),
        (DAYS.rstrip() + "\nday_shape = { high_h = 1.6, decay = 2.0 }\n\n", "missing-key"),
    ],
)
def test_new_settings_in_the_wrong_place(tmp_path: Path, forecast: str, code: str) -> None:
    with pytest.raises(JobFileError) as caught:
        load_job(saved(tmp_path, damaged(DAYS, forecast)))
    (fault,) = caught.value.faults
    assert fault.code == code
    assert fault.path.startswith("forecast")
    assert fault.line is not None


def test_a_sites_own_day_shape(tmp_path: Path) -> None:
    shape = "\nday_shape = { high_h = 2.5, decay = 3.0, low_h = 1.0 }\n\n"
    loaded = load_job(saved(tmp_path, damaged(DAYS, DAYS.rstrip() + shape)))
    job = loaded.job
    expected = make_weather(job, daily_to_hourly(job.forecast.days, job.site, job.time, Lags(2.5, 3.0, 1.0)))
    assert loaded.weather.air_c == pytest.approx(expected.air_c)
    published = load_job(saved(tmp_path)).weather.air_c
    assert abs(loaded.weather.air_c - published).max() > 0.3


class TestWhoseWord:
    def test_another_forecast_is_not_issued_when_the_jobs_was(self, tmp_path: Path) -> None:
        text = damaged(DAYS, DAYS.rstrip() + STATED)
        assert load_job(saved(tmp_path, text)).weather.source == "typed by hand"
        (tmp_path / "new.json").write_text(json.dumps(model_answer(hours=80, start=BEFORE)))
        weather = load_job(saved(tmp_path, text), tmp_path / "new.json").weather
        assert (weather.source, weather.issued) == ("new.json", None)

    def test_a_forecast_that_says_its_issue_is_believed(self, tmp_path: Path) -> None:
        (tmp_path / "new.json").write_text(json.dumps(location_answer(hourly=80, six_hourly=2, start=BEFORE)))
        weather = load_job(saved(tmp_path), tmp_path / "new.json").weather
        assert weather.issued == datetime(2026, 3, 27, 22, 40, 12, tzinfo=UTC)

    def test_the_jobs_own_file_has_the_jobs_words(self, tmp_path: Path) -> None:
        (tmp_path / "f.json").write_text(json.dumps(model_answer(hours=80, start=BEFORE)))
        text = damaged(DAYS, 'hourly = "f.json"' + STATED)
        weather = load_job(saved(tmp_path, text)).weather
        assert (weather.source, weather.issued) == ("typed by hand", datetime(2024, 6, 2, 17, tzinfo=UTC))


def test_doubt_is_advice_with_a_remedy(tmp_path: Path) -> None:
    text = GOOD.replace("2024-06", "2024-12").replace("low_c = 12, high_c = 20", "low_c = 24, high_c = 30")
    notes = [note for note in load_job(saved(tmp_path, text)).notes if note.code == "forecast-doubtful"]
    assert [(note.place, note.weight) for note in notes] == [("air_c", Weight.ADVICE)]
    assert "°F" in notes[0].remedy


def test_columns_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "blatt.csv"
    rows = [f"2024-06-{3 + n // 24:02d}T{n % 24:02d}:00Z;50;80;0;3" for n in range(240)]
    sheet.write_text("\n".join(["Wann;Luft;RH;Regen;Wind", "2024-06-02T23:00Z;50;80;0;3", *rows]))
    job = job_file(tmp_path)
    code, _, said = run(capsys, "plan", job, "--seconds", 2, "--weather", sheet)
    assert (code, "air_c" in " ".join(said)) == (2, True)
    code, _, said = run(
        capsys, "plan", job, "--seconds", 2, "--weather", sheet, "--columns", "time=Wann, air_c=Luft[F]"
    )
    assert code in (0, 1), said
    assert any("'Luft' as air_c in °F" in line for line in said)
