"""Surface temperatures read on site, from a CSV file: what element temperatures are calibrated by."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from planner.errors import Fault, InputError
from planner.model import Job
from planner.weather.csv_rows import Row, Table, read_table
from planner.weather.like_faults import capped

COLUMNS = ("time", "element", "surface_c")
_RANGE_C = (-40.0, 90.0)
_FORM = "a time such as 2026-03-28T13:20 (site's clock), 2026-03-28T13:20+00:00 or 2026-03-28T13:20Z"


class ReadingsError(InputError):
    """The readings have faults."""

    code = "bad-readings"


@dataclass(frozen=True)
class Reading:
    """The surface of `element` (its id) was at `surface_c` [°C] at `time` (UTC)."""

    element: str
    time: datetime
    surface_c: float


def read_readings_csv(path: Path | str, job: Job) -> tuple[Reading, ...]:
    """Return the readings in the CSV file at `path`, in order of time.

    Columns, by name, in any order: `time` (ISO 8601; the site's wall time, or with an offset or Z; of an hour that
    the autumn change repeats, the first), `element` (its id) and `surface_c` [°C]; other columns are passed over, and
    so are rows without a temperature. Raises ReadingsError with all faults (those of one kind as one).
    """
    table = _table(Path(path))
    if isinstance(table, Fault):
        raise ReadingsError(str(path), [_renamed(table)])
    places, faults = _places(table.header)
    found: list[Reading] = []
    for row in table.rows if not faults else ():
        reading = _reading(row, places, table.comma_is_point, job)
        if isinstance(reading, Reading):
            found.append(reading)
        else:
            faults += reading
    if not faults and not found:
        faults = [Fault("readings-empty", "surface_c", table.header.line, "no temperature", "at least one reading")]
    if faults:
        raise ReadingsError(str(path), [_renamed(fault) for fault in capped(faults)])
    return tuple(sorted(found, key=lambda reading: (reading.time, reading.element)))


def _table(path: Path) -> Table | Fault:
    try:
        return read_table(path.read_bytes())
    except OSError as error:
        words = error.strerror or type(error).__name__
        return Fault("readings-unreadable", "file", None, words, "a CSV file that can be read", "Check its name.")


def _renamed(fault: Fault) -> Fault:
    """Faults of the file itself are worded for forecasts: give them this file's code and advice."""
    if not fault.code.startswith("forecast-"):
        return fault
    code = fault.code.replace("forecast-", "readings-")
    if code != "readings-empty":
        return replace(fault, code=code)
    return replace(fault, code=code, allowed=f"a header ({', '.join(COLUMNS)}), then one line a reading", hint="")


def _places(header: Row) -> tuple[dict[str, int], list[Fault]]:
    names = [cell.lower() for cell in header.cells]
    places = {name: names.index(name) for name in COLUMNS if name in names}
    faults = [
        Fault("readings-columns", name, header.line, f"{names.count(name)} columns {name}", "one", "Rename one.")
        for name in places
        if names.count(name) > 1
    ]
    for name in COLUMNS:
        if name not in places:
            near = difflib.get_close_matches(name, names, n=1, cutoff=0.5)
            hint = f"Did you mean {name} by {near[0]!r}?" if near else "Name the columns in the first line."
            found = f"no column {name} among {', '.join(names)[:200]}"
            faults.append(Fault("readings-columns", name, header.line, found, f"a column {name}", hint))
    return places, faults


def _reading(row: Row, places: dict[str, int], comma_is_point: bool, job: Job) -> Reading | list[Fault]:
    if len(row.cells) <= max(places.values()):
        return [Fault("readings-cells", "row", row.line, f"{len(row.cells)} cells", "cells as in the header")]
    moment, element, surface = (row.cells[places[name]] for name in COLUMNS)
    if not surface:
        return []
    instant = _instant(moment, row.line, job)
    number = _number(surface, row.line, comma_is_point)
    faults = [one for one in (instant, number) if isinstance(one, Fault)]
    faults += _unknown_element(element, row.line, job)
    if isinstance(instant, datetime) and isinstance(number, float) and not faults:
        return Reading(element, instant, number)
    return faults


def _instant(text: str, line: int, job: Job) -> datetime | Fault:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return Fault("readings-time", "time", line, repr(text), _FORM, "Dates are year-month-day.")
    if ":" not in text:
        return Fault("readings-time", "time", line, repr(text), _FORM, "Add the time of day.")
    time = job.time
    begins, ends = time.epoch, time.local(time.horizon).astimezone(UTC)
    instant = time.wall(moment) if moment.tzinfo is None else moment.astimezone(UTC)
    if moment.tzinfo is None and instant.astimezone(time.zone).replace(tzinfo=None) != moment:
        return Fault(
            "readings-time", "time", line, text, f"a time that {time.zone.key} has", "The clocks go forward."
        )
    if begins <= instant <= ends:
        return instant
    allowed = f"times within the job, {time.local(0):%Y-%m-%d} to {time.local(time.horizon):%Y-%m-%d %H:%M}"
    return Fault("readings-outside", "time", line, text, allowed)


def _number(text: str, line: int, comma_is_point: bool) -> float | Fault:
    allowed = f"a number from {_RANGE_C[0]:g} to {_RANGE_C[1]:g} °C, or an empty cell"
    try:
        value = float(text.replace(",", ".", 1) if comma_is_point else text)
    except ValueError:
        hint = "Write the number alone, without its unit." if text[:1].isdigit() else ""
        return Fault("readings-number", "surface_c", line, repr(text), allowed, hint)
    if math.isfinite(value) and _RANGE_C[0] <= value <= _RANGE_C[1]:
        return value
    return Fault("readings-range", "surface_c", line, text, allowed, "Is it in °F or K? Give °C.")


def _unknown_element(name: str, line: int, job: Job) -> Iterator[Fault]:
    known = [element.id for element in job.elements]
    if name not in known:
        near = difflib.get_close_matches(name, known, n=1)
        hint = f"Did you mean '{near[0]}'?" if near else ""
        yield Fault("readings-element", "element", line, repr(name), f"an element: {', '.join(known)[:200]}", hint)
