"""A job file with its weather, ready to be planned."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from planner.calendars.closures import closure_window
from planner.errors import Fault, ForecastError, JobFileError
from planner.findings import Finding, Weight
from planner.jobfile.issues import issue_notes
from planner.jobfile.lines import line_index
from planner.jobfile.read import read_job_text
from planner.jobfile.syntax import read_text
from planner.model import Closure, Job
from planner.weather.before import notes_on_start
from planner.weather.day_shape import TYPED_SOURCE, daily_to_hourly, day_lags
from planner.weather.hourly_csv import issued_in_utc
from planner.weather.job_weather import JobWeather, make_weather
from planner.weather.plausible import doubtful
from planner.weather.series import HourlySeries
from planner.weather.services import columns_passed_over, read_forecast


@dataclass(frozen=True)
class LoadedJob:
    """A job as read from `path`: the text as it stood there, the job, its weather, and advice that is no fault.

    series: the forecast that the weather was made of.
    """

    path: Path
    text: str
    job: Job
    weather: JobWeather
    notes: tuple[Finding, ...]
    series: HourlySeries


class JobForecastError(JobFileError, ForecastError):
    """The job can't be used because its forecast has faults; `file` is the one that has them."""

    code = "bad-forecast"


def load_job(
    path: Path | str, weather: Path | str | None = None, text: str | None = None, columns: str = ""
) -> LoadedJob:
    """Return the job in the file at `path`, with the forecast that it names.

    weather: an hourly file (CSV or a service's JSON) in place of that forecast; columns: which of a sheet's columns
    is what, as `planner.weather.header_map` reads it. text: the job's unsaved content, in place of what is on the
    disk; `path` then only gives the folder that the forecast's file lies beside.
    Raises JobFileError with all faults; of the forecast's own file, as JobForecastError.
    """
    path = Path(path)
    text = read_text(path) if text is None else text
    job = read_job_text(text, str(path))
    try:
        series = _series(job, path, text, weather, columns)
        made = make_weather(job, series)
    except ForecastError as error:
        raise JobForecastError(error.file, error.faults) from error
    return LoadedJob(path, text, job, made, (*_notes(job, made), *doubtful(series, job.site)), series)


def with_job_text(loaded: LoadedJob, text: str, weather: Path | str | None = None, columns: str = "") -> LoadedJob:
    """Return the job with `text` in the place of what was loaded; the weather is kept where nothing of it changed.

    weather, columns: as `loaded` was read with. Raises as `load_job` does.
    """
    job = read_job_text(text, str(loaded.path))
    if _weather_parts(job) != _weather_parts(loaded.job):
        return load_job(loaded.path, weather, text, columns)
    notes = (*_notes(job, loaded.weather), *doubtful(loaded.series, job.site))
    return LoadedJob(loaded.path, text, job, loaded.weather, notes, loaded.series)


def _weather_parts(job: Job) -> tuple[object, ...]:
    """Return all of a job that its weather is made of; elements ask the weather for their surfaces one by one."""
    return job.forecast, job.site, job.time, job.surface


def forecast_path(job: Job, path: Path) -> Path | None:
    """Return where the forecast's hourly file is: beside the job file at `path`, unless its own path is absolute."""
    return None if job.forecast.hourly is None else path.parent / job.forecast.hourly


def _series(job: Job, path: Path, text: str, weather: Path | str | None, columns: str) -> HourlySeries:
    if weather is not None:
        file = _found(Path(weather), str(path), "the forecast", None)
        return read_forecast(file, job.time.zone, columns=columns)
    beside = forecast_path(job, path)
    if beside is None:
        return columns_passed_over(_typed_series(job), columns or job.forecast.columns, "typed in the job file")
    file = _found(beside, str(path), "forecast.hourly", line_index(text).line(("forecast", "hourly")))
    return read_forecast(
        file,
        job.time.zone,
        source=job.forecast.source,
        issued=issued_in_utc(job.forecast.issued, job.time.zone),
        columns=columns or job.forecast.columns,
    )


def _typed_series(job: Job) -> HourlySeries:
    """Return the hours of the job's typed days, with the source and time of issue that the job states."""
    series = daily_to_hourly(job.forecast.days, job.site, job.time, day_lags(job.forecast.day_shape))
    issued = issued_in_utc(job.forecast.issued, job.time.zone)
    return replace(series, source=job.forecast.source or TYPED_SOURCE, issued=issued)


def _found(file: Path, job_file: str, place: str, line: int | None) -> Path:
    """Return `file` if there is such a file; else a fault at `place` of the job file."""
    if _is_file(file):
        return file
    allowed = "an hourly forecast (CSV or JSON), beside the job file or by its full path"
    raise JobForecastError(job_file, [Fault("no-forecast", place, line, f"no file {str(file)!r}", allowed)])


def _is_file(file: Path) -> bool:
    try:
        return file.is_file()
    except (OSError, ValueError):
        return False


def _notes(job: Job, weather: JobWeather) -> Iterator[Finding]:
    yield from issue_notes(job)
    for closure in job.closures:
        yield from _closure_note(job, closure)
    yield from forecast_notes(job, weather)


def forecast_notes(job: Job, weather: JobWeather) -> Iterator[Finding]:
    """Yield what was filled in, left open or assumed about the weather, as advice."""
    for words in (*weather.notes, *notes_on_start(job, weather.before)):
        yield Finding("forecast-note", "forecast", "", words.rstrip("."), weight=Weight.ADVICE)


def _closure_note(job: Job, closure: Closure) -> Iterator[Finding]:
    window = closure_window(closure, job.time)
    if window.work is not None:
        return
    if window.whole.finish <= 0 or window.whole.start >= job.time.horizon:
        found = f"{closure.start:%Y-%m-%d %H:%M} to {closure.finish:%Y-%m-%d %H:%M}"
        remedy = "It can't be used; change its times, or the job's first day and days."
        yield Finding(
            "closure-outside-job", closure.id, "times within the job's days", found, None, Weight.ADVICE, remedy
        )
    else:
        found = f"{closure.set_out_min} min to set out and {closure.clear_min} min to clear"
        remedy = "It can't be used; make it longer."
        yield Finding(
            "closure-without-work", closure.id, "time left between the cones", found, None, Weight.ADVICE, remedy
        )
