"""A job with its weather: where the forecast's file is looked for, and what is advice and not a fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.errors import ForecastError, JobFileError
from planner.findings import Weight
from planner.jobfile.load import LoadedJob, load_job, with_job_text
from tests.jobfile.texts import GOOD, damaged, line_of

DAYS = GOOD[GOOD.index("days = [\n") : GOOD.index("[[structures]]")]
HOURLY = damaged(DAYS, 'hourly = "hours.csv"\n\n')


def csv_text(air_c: float, hours: int = 72) -> str:
    rows = [f"2024-06-{3 + hour // 24:02d}T{hour % 24:02d}:00,{air_c},70,0,2" for hour in range(hours)]
    return "time,air_c,humidity_pct,rain_mm,wind_ms\n" + "\n".join(rows) + "\n"


def saved(folder: Path, text: str = GOOD) -> Path:
    path = folder / "job.toml"
    path.write_text(text, "utf-8")
    return path


def codes(loaded: LoadedJob) -> list[tuple[str, str]]:
    return [(note.code, note.place) for note in loaded.notes if note.code != "forecast-note"]


def test_typed_days_become_weather(tmp_path: Path) -> None:
    loaded = load_job(saved(tmp_path))
    assert loaded.text == GOOD
    assert len(loaded.weather.air_c) == loaded.job.time.horizon + 1
    assert codes(loaded) == []


def test_an_hourly_file_is_looked_for_beside_the_job_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    (tmp_path / "hours.csv").write_text(csv_text(11.5))
    assert load_job(saved(tmp_path, HOURLY)).weather.air_c.tolist() == [11.5] * (3 * 96 + 1)


def test_a_full_path_to_the_hourly_file_is_taken_as_it_is(tmp_path: Path) -> None:
    far = tmp_path / "far"
    far.mkdir()
    (far / "h.csv").write_text(csv_text(7))
    loaded = load_job(saved(tmp_path, HOURLY.replace("hours.csv", (far / "h.csv").as_posix())))
    assert loaded.weather.air_c[0] == 7


def test_another_forecast_takes_the_place_of_the_jobs_even_where_that_is_missing(tmp_path: Path) -> None:
    other = tmp_path / "cold.csv"
    other.write_text(csv_text(2))
    assert load_job(saved(tmp_path, HOURLY), other).weather.air_c.max() == 2
    assert load_job(saved(tmp_path), str(other)).weather.air_c.max() == 2


def test_unsaved_text_takes_the_place_of_the_disks(tmp_path: Path) -> None:
    path = saved(tmp_path)
    loaded = load_job(path, text=damaged('"Joint"', '"Unsaved"'))
    assert loaded.job.job.name == "Unsaved"
    assert path.read_text("utf-8") == GOOD


def test_a_missing_hourly_file_is_a_fault_at_its_line(tmp_path: Path) -> None:
    with pytest.raises(JobFileError) as caught:
        load_job(saved(tmp_path, HOURLY))
    (fault,) = caught.value.faults
    assert (fault.code, fault.path, fault.line) == ("no-forecast", "forecast.hourly", line_of(HOURLY, "hours.csv"))
    with pytest.raises(JobFileError) as caught:
        load_job(saved(tmp_path), tmp_path / "none.csv")
    assert "none.csv" in caught.value.faults[0].found


def test_a_forecast_too_short_or_full_of_faults_is_a_faulty_job_and_a_faulty_forecast(tmp_path: Path) -> None:
    file = tmp_path / "hours.csv"
    file.write_text(csv_text(10, hours=48))
    with pytest.raises(JobFileError) as short:
        load_job(saved(tmp_path, HOURLY))
    assert [fault.code for fault in short.value.faults] == ["forecast-too-short"]
    assert isinstance(short.value, ForecastError)
    file.write_text(csv_text(10).replace("10", "warm", 2))
    with pytest.raises(JobFileError) as wrong:
        load_job(saved(tmp_path, HOURLY))
    assert wrong.value.file == str(file)
    assert [fault.line for fault in wrong.value.faults] == [2, 3]


def test_a_closure_outside_the_job_or_eaten_by_its_cones_is_advice(tmp_path: Path) -> None:
    outside = '\n[[closures]]\nid = "C8"\nlanes = ["L1"]\nstart = 2024-07-01T20:00:00\nfinish = 2024-07-02T05:00:00\n'
    short = '\n[[closures]]\nid = "C9"\nlanes = ["L1"]\nstart = 2024-06-04T20:00:00\nfinish = 2024-06-04T21:00:00\n'
    loaded = load_job(saved(tmp_path, GOOD + outside + short))
    assert codes(loaded) == [("closure-outside-job", "C8"), ("closure-without-work", "C9")]
    assert {note.weight for note in loaded.notes} == {Weight.ADVICE}


def test_what_is_assumed_of_the_start_follows_the_elements_of_the_text(tmp_path: Path) -> None:
    """The weather is kept where only elements change; what is said of it is not."""
    thick = GOOD.replace("[[elements]]\n", "[[elements]]\nthickness_m = 0.6\n")
    thin = GOOD.replace("[[elements]]\n", "[[elements]]\nthickness_m = 0.1\n")
    path = tmp_path / "job.toml"
    path.write_text(thin, "utf-8")
    loaded = load_job(path)
    assert thin != thick
    for text, said in ((thick, True), (thin, False)):
        changed = with_job_text(loaded, text)
        assert changed.weather is loaded.weather
        assert any("elements start as cold" in note.found for note in changed.notes) is said
