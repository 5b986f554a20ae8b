"""Reads a forecast that the user opened or fetched, off the window's thread; no Qt."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from app.weather.header_dialog import needs_a_person
from planner.errors import Fault, ForecastError
from planner.model import Job
from planner.weather.csv_rows import Table, read_table
from planner.weather.forecast_bytes import kind_of, read_bytes
from planner.weather.series import HourlySeries
from planner.weather.services import forecast_series


@dataclass(frozen=True)
class Opened:
    """A file's bytes. table: where it is a sheet whose columns a person has to settle; file: where it was opened."""

    name: str
    data: bytes
    table: Table | None = None
    file: Path | None = None


def open_file(path: Path) -> Opened:
    """Return what is in a file; ForecastError where it can't be read at all."""
    data = read_bytes(path)
    if isinstance(data, Fault):
        raise ForecastError(str(path), [data])
    if kind_of(data) != "csv":
        return Opened(path.name, data, file=path)
    table = read_table(data)
    asks = isinstance(table, Table) and needs_a_person(table)
    return Opened(path.name, data, table if asks else None, path)  # type: ignore[arg-type]


def read_opened(opened: Opened, job: Job, columns: str = "", credit: str = "") -> HourlySeries:
    """Return the series in what was opened; ForecastError with all faults. credit: shown where it says none."""
    series = forecast_series(opened.data, opened.name, job.time.zone, source=opened.name, columns=columns)
    return series if series.attribution or not credit else replace(series, attribution=credit)
