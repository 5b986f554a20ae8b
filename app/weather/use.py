"""Puts a forecast that was tried in the place of the plan's: a file of its own that the planner reads; no Qt."""

from __future__ import annotations

import hashlib
from pathlib import Path

from app.session import Session, on_another, open_session
from app.weather.files import csv_bytes
from planner.jobfile.write import save_bytes
from planner.weather.series import HourlySeries


def use_forecast(session: Session, series: HourlySeries, folder: Path) -> Session:
    """Return the session on `series`, with its plan audited anew; takes a while.

    JobForecastError where the job can't use it; OSError where the disk refuses.
    """
    file = forecast_file(session, series, folder)
    return on_another(open_session(session.loaded.path, weather=file, text=session.loaded.text), session)


def forecast_file(session: Session, series: HourlySeries, folder: Path) -> Path:
    """Write the series to a file in `folder`, named after the job and the content; return it.

    The planner reads it from there too. OSError where the disk refuses.
    """
    data = csv_bytes(series)
    file = folder / f"{session.loaded.path.stem}-{mark_of(data)}.csv"
    folder.mkdir(parents=True, exist_ok=True)
    save_bytes(file, data)
    return file


def mark_of(data: bytes) -> str:
    """Return what tells a forecast's content from others, as it ends the name of a file by `forecast_file`."""
    return hashlib.sha256(data).hexdigest()[:12]


def mark_in(file: Path) -> str:
    """Return that mark of a file by `forecast_file`."""
    return file.stem.rpartition("-")[2]
