"""The number columns of an hourly CSV file: ranges, empty cells, and codes that stand for "missing"."""

from __future__ import annotations

import math
import re

from planner.errors import Fault

RANGES = {
    "air_c": (-60.0, 60.0, "°C"),
    "humidity_pct": (0.0, 100.0, "%"),
    "rain_mm": (0.0, 400.0, "mm in the hour"),
    "wind_ms": (0.0, 80.0, "m/s"),
    "cloud_pct": (0.0, 100.0, "%"),
}
"""Column: lowest and highest value that weather can have (records, rounded outwards), and unit."""

_EMPTY = frozenset({"", "-", "na", "n/a", "nan", "null", "none"})
_MISSING_CODES = frozenset({99.0, 99.9, 999.0, 999.9, 9999.0, 99999.0})
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?")


def read_number(text: str, column: str, line: int, comma_is_point: bool) -> float | Fault:
    """Return the number in a cell, NaN for an empty one, or the fault in it."""
    if text.lower() in _EMPTY:
        return math.nan
    plain = text.replace(",", ".", 1) if comma_is_point else text
    lowest, highest, unit = RANGES[column]
    allowed = f"a number from {lowest:g} to {highest:g} {unit}, or an empty cell"
    if _NUMBER.fullmatch(plain) is None:
        hint = "Write the number alone, without its unit." if re.match(r"[+-]?\d", plain) else ""
        return Fault("forecast-number", column, line, repr(text), allowed, hint)
    value = float(plain)
    if lowest <= value <= highest:
        return value
    if abs(value) in _MISSING_CODES:
        return Fault("forecast-missing-code", column, line, text, allowed, "A missing value is an empty cell.")
    return Fault("forecast-range", column, line, text, allowed, _RANGE_HINTS.get(column, ""))


_RANGE_HINTS = {
    "air_c": "Is it in °F or K? Give °C.",
    "humidity_pct": "Is it another quantity? Give relative humidity in %.",
    "wind_ms": "Is it in km/h? Give m/s.",
    "cloud_pct": "Is it in eighths or tenths? Give %.",
}
