"""Reads an hourly forecast from a CSV file and reports every fault in it at once, each with its line."""

from __future__ import annotations

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
from planner.weather.csv_columns import columns_of, map_notes
from planner.weather.csv_numbers import read_number
from planner.weather.csv_rows import Row, Table, read_table
from planner.weather.csv_times import PATH as TIME
from planner.weather.csv_times import TimeReader
from planner.weather.forecast_bytes import read_bytes
from planner.weather.header_map import OPTIONAL, HeaderMap
from planner.weather.like_faults import capped
from planner.weather.series import COLUMNS, HOUR, Floats, HourlySeries, in_utc

_LONGEST_HOLE = timedelta(hours=fill.LONGEST_HOLE_H)
_LONGEST_GAP = timedelta(days=31)
"""Where gaps may stay open: past this a date is mistyped."""


@dataclass(frozen=True)
class _Reading:
    """One row that could be read: its line, instant and number by column."""

    line: int
    instant: datetime
    values: dict[str, float]


def read_hourly_csv(
    path: Path | str, zone: ZoneInfo, *, source: str = "", issued: datetime | None = None, columns: str = ""
) -> HourlySeries:
    """Return the hourly series in the CSV file at `path`; holes of more than 3 h are faults. See `csv_series`."""
    file = Path(path)
    data = read_bytes(file)
    if isinstance(data, Fault):
        raise ForecastError(str(path), [data])
    return csv_series(data, str(path), zone, source=source or file.name, issued=issued, columns=columns)


def csv_series(
    data: bytes,
    name: str,
    zone: ZoneInfo,
    *,
    source: str = "",
    issued: datetime | None = None,
    columns: str = "",
    keep_gaps: bool = False,
) -> HourlySeries:
    """Return the hourly series in the bytes of a CSV file called `name`.

    Columns, in any order and by any usual name: `time` (ISO 8601; wall time of `zone`, or with an offset or Z),
    air_c [°C], humidity_pct [%], rain_mm [mm in the hour that begins], wind_ms [m/s], and cloud_pct [%] (60 where
    left out); other columns are passed over. columns: which column is what, in which unit, as `parse_columns` reads
    it; what it does not say is guessed from the names, and a note says how. Lines `# source: NAME`, `# issued: TIME`
    and `# attribution: WORDS` go before the arguments.
    Holes of up to 3 h are filled on a straight line, rain as dry, with a note; longer ones are faults, or with
    keep_gaps stay open (NaN), with a note. The second of two equal wall times on the autumn night is the repeated
    hour. Raises ForecastError with all faults (those of one kind as one, the first 50 in full).
    """
    table = read_table(data)
    if isinstance(table, Fault):
        raise ForecastError(name, [table])
    found, faults = columns_of(table, columns)
    if found is None:
        raise ForecastError(name, faults)
    readings, faults = _readings(table, found, zone)
    faults = faults or list(_row_holes(readings, _LONGEST_GAP if keep_gaps else _LONGEST_HOLE))
    stated, wrong = _stated_issue(table, zone)
    faults += wrong
    if faults:
        raise ForecastError(name, capped(faults))
    grid = _grid(readings, found)
    holes = fill.holes(grid)
    length = len(grid["air_c"])
    left = [hole for hole in holes if not hole.can_be_filled(length)]
    if left and not keep_gaps:
        raise ForecastError(name, capped([_hole_fault(hole, readings) for hole in left]))
    closed = [hole for hole in holes if hole.can_be_filled(length)]
    start = readings[0].instant
    return HourlySeries(
        start=start,
        **{column: fill.filled(column, values, closed) for column, values in grid.items()},
        source=table.remarks.get("source", source),
        issued=stated or issued_in_utc(issued, zone),
        notes=map_notes(found) + fill.notes(closed, start, zone, length) + fill.gap_notes(left, start, zone),
        attribution=table.remarks.get("attribution", ""),
    )


def issued_in_utc(issued: datetime | None, zone: ZoneInfo) -> datetime | None:
    """Return when the forecast was issued, in UTC; a time without offset is the site's wall time."""
    if issued is None:
        return None
    return in_utc(issued if issued.tzinfo is not None else issued.replace(tzinfo=zone))


def _stated_issue(table: Table, zone: ZoneInfo) -> tuple[datetime | None, list[Fault]]:
    """Return the time in a line `# issued: TIME`, if there is one."""
    text = table.remarks.get("issued")
    if text is None:
        return None, []
    try:
        return issued_in_utc(datetime.fromisoformat(text), zone), []
    except (ValueError, OverflowError):
        allowed = "a time such as 2026-03-28T06:00Z"
        return None, [Fault("forecast-time", "issued", None, repr(text), allowed, "Mend the line # issued: TIME.")]


def _readings(table: Table, found: HeaderMap, zone: ZoneInfo) -> tuple[list[_Reading], list[Fault]]:
    times = TimeReader(zone, found.time.clock, found.time.order)
    readings: list[_Reading] = []
    faults: list[Fault] = []
    for row in table.rows:
        wrong = _wrong_length(row, table.header)
        if wrong is not None:
            faults.append(wrong)
            continue
        instant = times.read(" ".join(row.cells[index] for index in found.time.indexes), row.line)
        numbers = {
            name: read_number(row.cells[place.index], name, row.line, table.comma_is_point, place.unit)
            for name, place in found.columns
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


def _row_holes(readings: list[_Reading], longest: timedelta) -> Iterator[Fault]:
    """Yield a fault for each run of missing rows longer than `longest`; this also bounds the grid's size."""
    for left, right in pairwise(readings):
        missing = right.instant - left.instant - HOUR
        if missing > longest:
            yield Fault(
                "forecast-hours-missing",
                TIME,
                right.line,
                f"{missing // HOUR} hours missing before this row",
                f"holes of up to {longest // HOUR} h",
                "Add the missing rows.",
            )


def _grid(readings: list[_Reading], found: HeaderMap) -> dict[str, Floats]:
    """Return each column on the hourly axis from the first to the last row, NaN where there is no value."""
    start = readings[0].instant
    at = [(reading.instant - start) // HOUR for reading in readings]
    columns: dict[str, Floats] = {}
    for name in COLUMNS:
        values = np.full(at[-1] + 1, OPTIONAL.get(name, math.nan))
        if found.place(name) is not None:
            values[:] = math.nan
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
