"""`liftgap calibrate`: element temperatures fitted to readings from the site, with the error that remains."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path

from planner.audit.wording import clock_words, reading_words
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.loading import load
from planner.cli.wording import columns, day_words
from planner.jobfile.write import write_changes
from planner.model import Job
from planner.site_record.surface_readings import surface_readings
from planner.weather.calibrate import Calibration, calibrate
from planner.weather.readings import read_readings_csv

_HEAD = ("element", "read at", "reading °C", "calculated °C", "difference K")


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    parser.add_argument(
        "readings",
        metavar="READINGS.csv",
        type=Path,
        nargs="?",
        help="columns time, element, surface_c; one reading a row",
    )
    parser.add_argument(
        "--recorded", action="store_true", help="take the surface temperatures in the job's site record too"
    )
    parser.add_argument(
        "--write", action="store_true", help="write the fitted settings into the job file's [surface]"
    )
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    readings = read_readings_csv(arguments.readings, loaded.job) if arguments.readings else ()
    readings += surface_readings(loaded.job) if arguments.recorded else ()
    if not readings:
        where = "the site record holds no surface_c" if arguments.recorded else "give READINGS.csv, or --recorded"
        return Answer(BAD_INPUT, remarks=(f"no readings to fit to: {where}",))
    fitted = calibrate(loaded.job, loaded.weather, readings)
    lines = [*str(fitted).splitlines(), "", *columns([_HEAD, *_misfits(loaded.job, fitted)])]
    doubts = tuple(f"advice: {words}" for words in fitted.doubts)
    if not arguments.write:
        unchanged = "nothing is changed; with --write the job file takes these settings"
        return Answer(GOOD, tuple(lines), (*doubts, unchanged))
    if not fitted.changes:
        return Answer(NO, tuple(lines), (*doubts, "nothing is written: the readings tell nothing that could be kept"))
    write_changes(loaded.path, fitted.changes, loaded.text)
    kept = ", ".join(f"{place[-1]} = {value:g}" for place, value in fitted.changes.items())
    return Answer(GOOD, tuple(lines), (*doubts, f"written to [surface] of {loaded.path}: {kept}"))


def _misfits(job: Job, fitted: Calibration) -> list[tuple[str, ...]]:
    return [
        (
            one.reading.element,
            _clock(one.reading.time.astimezone(job.time.zone)),
            reading_words(one.reading.surface_c),
            reading_words(one.surface_c),
            f"{one.surface_c - one.reading.surface_c:+.1f}",
        )
        for one in fitted.misfits
    ]


def _clock(local: datetime) -> str:
    return f"{day_words(local.date())} {clock_words(local)}"


COMMAND = Command(
    "calibrate",
    "Fit the element temperatures to readings from the site, and say what error remains.",
    _add_arguments,
    _run,
)
