"""A forecast as the bytes of an hourly CSV file that reads back as it was; no Qt."""

from __future__ import annotations

import math

from planner.weather.series import COLUMNS, HourlySeries


def csv_bytes(series: HourlySeries) -> bytes:
    """Return the series as hourly CSV in UTF-8: times in UTC, values exact, missing ones as empty cells."""
    lines = [f"# {name}: {text}" for name, text in _remarks(series) if text]
    lines.append(",".join(("time", *COLUMNS)))
    columns = [getattr(series, name) for name in COLUMNS]
    for index in range(series.hours):
        cells = [f"{series.hour(index):%Y-%m-%dT%H:%MZ}", *(_cell(float(values[index])) for values in columns)]
        lines.append(",".join(cells))
    return ("\n".join(lines) + "\n").encode()


def _remarks(series: HourlySeries) -> tuple[tuple[str, str], ...]:
    issued = "" if series.issued is None else series.issued.isoformat()
    return (("source", _one_line(series.source)), ("issued", issued), ("attribution", _one_line(series.attribution)))


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _cell(value: float) -> str:
    """Return a value in as few digits as give it back exactly."""
    return "" if math.isnan(value) else f"{value:.15g}" if float(f"{value:.15g}") == value else repr(value)
