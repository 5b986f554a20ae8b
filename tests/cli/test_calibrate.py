"""`liftgap calibrate`: readings made from known settings lead back to them; broken readings are told line by line."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from planner.cli.command_line import main
from planner.jobfile.load import LoadedJob, load_job
from planner.model import SurfaceSettings
from planner.units import SLOT
from planner.weather.job_weather import make_weather
from planner.weather.services import read_forecast

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
DECK = "deck_sb"


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    """The main job with its forecast beside it, free to be written to."""
    text = (SAMPLES / "harrow_beck_viaduct.toml").read_text(encoding="utf-8")
    (tmp_path / "weather").mkdir()
    sheet = "weather/harrow_beck_spring.csv"
    (tmp_path / sheet).write_bytes((SAMPLES / sheet).read_bytes())
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    return path


def write_readings(loaded: LoadedJob, path: Path, settings: SurfaceSettings) -> Path:
    """Write two readings a day of one deck as it would be with `settings`."""
    job = loaded.job.model_copy(update={"surface": settings})
    series = read_forecast(SAMPLES / "weather/harrow_beck_spring.csv", job.time.zone)
    surface_c = make_weather(job, series).surface_c(job.element(DECK))
    rows = [
        f"{(job.time.epoch + slot * SLOT).isoformat(timespec='minutes')},{DECK},{surface_c[slot]:.3f}"
        for slot in range(24, 20 * 96, 48)
    ]
    path.write_text("time,element,surface_c\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def test_known_settings_are_found_shown_and_written(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    loaded = load_job(job_file)
    true = loaded.job.surface.model_copy(update={"absorptance": 0.75})
    readings = write_readings(loaded, tmp_path / "readings.csv", true)
    assert main(["calibrate", str(job_file), str(readings)]) == 0
    shown = capsys.readouterr()
    assert "40 readings: off by 0.0 K" in shown.out
    assert "nothing is changed" in shown.err
    assert load_job(job_file).text == loaded.text
    assert main(["calibrate", str(job_file), str(readings), "--write"]) == 0
    assert load_job(job_file).job.surface.absorptance == pytest.approx(0.75, abs=0.05)
    assert "# " in load_job(job_file).text


def test_broken_readings_are_told_with_their_lines(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    late = load_job(job_file).job.time.epoch + timedelta(days=1)
    path = tmp_path / "readings.csv"
    path.write_text(f"time,element,surface_c\n{late.isoformat()},deck_zz,4\n{late.isoformat()},{DECK},warm\n")
    assert main(["calibrate", str(job_file), str(path)]) == 2
    told = capsys.readouterr().err
    assert "line 2" in told
    assert "deck_zz" in told
    assert "line 3" in told
    assert "warm" in told


def test_readings_from_outside_the_job_are_refused(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "readings.csv"
    path.write_text(f"time,element,surface_c\n2020-01-01T12:00:00+00:00,{DECK},4\n")
    assert main(["calibrate", str(job_file), str(path)]) == 2
    assert "2020" in capsys.readouterr().err


def test_impossible_readings_write_nothing_and_say_why(
    job_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    loaded = load_job(job_file)
    noon = loaded.job.time.epoch + timedelta(days=2, hours=12)
    path = tmp_path / "readings.csv"
    rows = [f"{(noon + timedelta(days=day)).isoformat()},{DECK},{48 + day}" for day in range(4)]
    path.write_text("time,element,surface_c\n" + "\n".join(rows) + "\n")
    code = main(["calibrate", str(job_file), str(path), "--write"])
    told = capsys.readouterr().err
    assert "only 4 readings" in told
    assert "stand at the end of what can be" in told
    assert "K off after the fit" in told
    kept = load_job(job_file).text != loaded.text
    assert ("written to [surface]" in told) is kept
    assert ("nothing is written" in told) is not kept
    assert code == (0 if kept else 1)


def test_how_the_forecast_was_read_is_said_with_every_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two hours left out are filled on a straight line, with a note that no command keeps to itself."""
    sheet = (SAMPLES / "weather/harrow_beck_spring.csv").read_text(encoding="utf-8").splitlines()
    holed = tmp_path / "holed.csv"
    holed.write_text("\n".join(sheet[:60] + sheet[62:]) + "\n", encoding="utf-8")
    job = str(SAMPLES / "harrow_beck_viaduct.toml")
    plan = tmp_path / "plan.json"
    assert main(["plan", job, "--seconds", "1", "--out", str(plan)]) == 0
    capsys.readouterr()
    for command in ("audit", "gaps"):
        assert main([command, job, str(plan), "--weather", str(holed)]) in (0, 1)
        assert "filled" in capsys.readouterr().err
