"""Reads an hourly forecast from a CSV file and reports every fault in it at once, each with its line."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from planner.errors import Fault, ForecastError
from planner.weather import fill
from planner.weather.csv_numbers import read_number
from planner.weather.csv_rows import Row, Table, capped, read_table
from planner.weather.csv_times import PATH as TIME
from planner.weather.csv_times import TimeReader
from planner.weather.series import COLUMNS, HOUR, Floats, HourlySeries, in_utc

_OPTIONAL = {"cloud_pct": 60.0}
_LONGEST_HOLE = timedelta(hours=fill.LONGEST_HOLE_H)


@dataclass(frozen=True)
class _Reading:
    """One row that could be read: its line, instant and number by column."""

    line: int
    instant: datetime
    values: dict[str, float]


def read_hourly_csv(
    path: Path | str, zone: ZoneInfo, *, source: str = "", issued: datetime | None = None
) -> HourlySeries:
    """Return the hourly series in the CSV file at `path`.

    Columns, by name, in any order: `time` (ISO 8601; wall time of `zone`, or with an offset or Z), air_c [°C],
    humidity_pct [%], rain_mm [mm in the hour that begins], wind_ms [m/s], and cloud_pct [%] (60 where left out);
    other columns are passed over. Holes of up to 3 h are filled on a straight line, rain as dry, with a note.
    The second of two equal wall times on the autumn night is the repeated hour.
    Raises ForecastError with all faults (the first 50 in full).
    """
    file = Path(path)
    table = read_table(file)
    if isinstance(table, Fault):
        raise ForecastError(str(path), [table])
    places, faults = _columns(table.header)
    if faults:
        raise ForecastError(str(path), faults)
    readings, faults = _readings(table, places, zone)
    faults = faults or list(_row_holes(readings))
    if faults:
        raise ForecastError(str(path), capped(faults))
    columns = _grid(readings, places)
    found = fill.holes(columns)
    faults = [_hole_fault(hole, readings) for hole in found if not hole.can_be_filled(len(columns["air_c"]))]
    if faults:
        raise ForecastError(str(path), capped(faults))
    return HourlySeries(
        start=readings[0].instant,
        **{name: fill.filled(name, values) for name, values in columns.items()},
        source=source or file.name,
        issued=_issued(issued, zone),
        notes=fill.notes(found, readings[0].instant, zone, len(columns["air_c"])),
    )


def _issued(issued: datetime | None, zone: ZoneInfo) -> datetime | None:
    """Return when the forecast was issued, in UTC; a time without offset is the site's wall time."""
    if issued is None:
        return None
    return in_utc(issued if issued.tzinfo is not None else issued.replace(tzinfo=zone))


def _columns(header: Row) -> tuple[dict[str, int], list[Fault]]:
    """Return where each column stands, and a fault for each one missing or given twice."""
    names = [cell.lower() for cell in header.cells]
    wanted = (TIME, *COLUMNS)
    places = {name: names.index(name) for name in wanted if name in names}
    faults = [
        Fault("forecast-columns", name, header.line, f"{names.count(name)} columns {name}", "one", "Rename one.")
        for name in places
        if names.count(name) > 1
    ]
    spare = [name for name in names if name not in wanted]
    for name in wanted:
        if name not in places and name not in _OPTIONAL:
            near = difflib.get_close_matches(name, spare, n=1, cutoff=0.5)
            hint = f"Did you mean {name} by {near[0]!r}?" if near else "Name the columns in the first line."
            found = f"no column {name} among {', '.join(names)[:200]}"
            faults.append(Fault("forecast-columns", name, header.line, found, f"a column {name}", hint))
    return places, faults


def _readings(table: Table, places: dict[str, int], zone: ZoneInfo) -> tuple[list[_Reading], list[Fault]]:
    times = TimeReader(zone)
    readings: list[_Reading] = []
    faults: list[Fault] = []
    for row in table.rows:
        wrong = _wrong_length(row, table.header)
        if wrong is not None:
            faults.append(wrong)
            continue
        instant = times.read(row.cells[places[TIME]], row.line)
        numbers = {
            name: read_number(row.cells[places[name]], name, row.line, table.comma_is_point)
            for name in COLUMNS
            if name in places
        }
        wrong_here = [read for read in (instant, *numbers.values()) if isinstance(read, Fault)]
        faults += wrong_here
        if not wrong_here and isinstance(instant, datetime):
            values = {name: value for name, value in numbers.items() if isinstance(value, float)}
            readings.append(_Reading(row.line, instant, values))
    return readings, faults


def _wrong_length(row: Row, header: Row) -> Fault | None:
    extra = row.cells[len(header.cells) :]
    if len(row.cells) >= len(header.cells) and not any(extra):
        return None
    hint = "Decimals need a point, since commas part the cells." if extra else "Leave empty cells, not missing ones."
    allowed = f"{len(header.cells)} cells, as in the header"
    return Fault("forecast-cells", "row", row.line, f"{len(row.cells)} cells", allowed, hint)


def _row_holes(readings: list[_Reading]) -> Iterator[Fault]:
    """Yield a fault for each run of missing rows too long to fill; this also bounds the grid's size."""
    for left, right in pairwise(readings):
        missing = right.instant - left.instant - HOUR
        if missing > _LONGEST_HOLE:
            yield Fault(
                "forecast-hours-missing",
                TIME,
                right.line,
                f"{missing // HOUR} hours missing before this row",
                f"holes of up to {fill.LONGEST_HOLE_H} h",
                "Add the missing rows.",
            )


def _grid(readings: list[_Reading], places: dict[str, int]) -> dict[str, Floats]:
    """Return each column on the hourly axis from the first to the last row, NaN where there is no value."""
    start = readings[0].instant
    at = [(reading.instant - start) // HOUR for reading in readings]
    columns: dict[str, Floats] = {}
    for name in COLUMNS:
        values = np.full(at[-1] + 1, math.nan if name in places else _OPTIONAL.get(name, math.nan))
        if name in places:
            values[at] = [reading.values[name] for reading in readings]
        columns[name] = values
    return columns


def _hole_fault(hole: fill.Hole, readings: list[_Reading]) -> Fault:
    begins = readings[0].instant + hole.first * HOUR
    line = next(reading.line for reading in readings if reading.instant >= begins)
    return Fault(
        "forecast-hours-missing",
        hole.column,
        line,
        f"{hole.hours} hours without a value from here",
        f"holes of up to {fill.LONGEST_HOLE_H} h with a value before and after",
        "Fill them in, or cut the file to the hours that are known.",
    )
