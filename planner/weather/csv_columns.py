"""Settles what the columns of a forecast CSV are: what a person said, else what their names say, else faults."""

from __future__ import annotations

import difflib

from planner.errors import Fault
from planner.weather.csv_rows import Table
from planner.weather.header_guess import Proposal, guess_map
from planner.weather.header_map import OPTIONAL, TIME, HeaderMap, parse_columns
from planner.weather.series import COLUMNS


def columns_of(table: Table, columns: str = "") -> tuple[HeaderMap | None, list[Fault]]:
    """Return the map of the table's columns, or None and every fault. columns: as a person says it, or ""."""
    header = table.header.cells
    said, faults = parse_columns(columns, header)
    proposal = guess_map(header, table.rows[0].cells, said)
    twice = _twice(table) if not said.columns else []
    faults += twice + [_missing(name, proposal, table) for name in proposal.missing if not _named(name, twice)]
    return (None, faults) if faults else (proposal.map(), [])


def map_notes(found: HeaderMap) -> tuple[str, ...]:
    """Return in words how the columns were understood, where their names alone do not say it."""
    parts = [
        f"{place.header!r} as {name} in {place.unit.name}" + ("" if place.stated else " (no unit is stated)")
        for name, place in found.columns
        if place.header.lower() != name
    ]
    if found.time.headers[0].lower() != TIME or found.time.clock == "utc":
        whose = "UTC" if found.time.clock == "utc" else "the site's clock"
        parts.insert(0, f"{' + '.join(found.time.headers)!r} as time on {whose}")
    absent = [
        f"No column is read as {name}: {value:g} % in every hour."
        for name, value in OPTIONAL.items()
        if found.place(name) is None
    ]
    return (*((f"Columns read: {'; '.join(parts)}.",) if parts else ()), *absent)


def _named(name: str, faults: list[Fault]) -> bool:
    return any(fault.path == name for fault in faults)


def _twice(table: Table) -> list[Fault]:
    names = [cell.lower() for cell in table.header.cells]
    return [
        Fault(
            "forecast-columns", name, table.header.line, f"{names.count(name)} columns {name}", "one", "Rename one."
        )
        for name in (TIME, *COLUMNS)
        if names.count(name) > 1
    ]


def _missing(name: str, proposal: Proposal, table: Table) -> Fault:
    headers = table.header.cells
    doubtful = dict(proposal.doubtful).get(name, ())
    if doubtful:
        found = f"{len(doubtful)} columns that may be {name}: {', '.join(doubtful)}"
        hint = f"Say which, as in {name}=#{headers.index(doubtful[0]) + 1}."
        return Fault("forecast-columns", name, table.header.line, found, "one", hint)
    used = {place.index for place in proposal.columns.values()}
    spare = [cell for index, cell in enumerate(headers) if index not in used]
    near = difflib.get_close_matches(name, [cell.lower() for cell in spare], n=1, cutoff=0.5)
    hint = f"Did you mean {name} by {near[0]!r}? " if near else ""
    hint += f"Name the column {name}, or say which it is, as in {name}=HEADER."
    found = f"no column {name} among {', '.join(headers)[:200]}"
    allowed = f"a column {name}" + (f" (or none: {OPTIONAL[name]:g})" if name in OPTIONAL else "")
    return Fault("forecast-columns", name, table.header.line, found, allowed, hint)
