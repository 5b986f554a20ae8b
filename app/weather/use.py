"""Puts a forecast that was tried in the place of the plan's: a file of its own that the planner reads; no Qt."""

from __future__ import annotations

import hashlib
from pathlib import Path

from app.session import Session, open_session, with_placed
from app.weather.files import csv_bytes
from planner.jobfile.write import save_bytes
from planner.weather.series import HourlySeries


def use_forecast(session: Session, series: HourlySeries, folder: Path) -> Session:
    """Return the session on `series`, with its plan audited anew; takes a while.

    The series is written to a file in `folder`, named after the job and the content, from which the planner reads it
    too. JobForecastError where the job can't use it; OSError where the disk refuses.
    """
    data = csv_bytes(series)
    loaded = session.loaded
    file = folder / f"{loaded.path.stem}-{hashlib.sha256(data).hexdigest()[:12]}.csv"
    folder.mkdir(parents=True, exist_ok=True)
    save_bytes(file, data)
    made = open_session(loaded.path, weather=file, text=loaded.text)
    return made if session.plan is None else with_placed(made, session.plan)
