"""The numbers of a forecast: units, ranges, empty cells, and codes that stand for "missing"."""

from __future__ import annotations

import math
import re

from planner.errors import Fault
from planner.weather.weather_units import Unit, own_unit

RANGES = {
    "air_c": (-60.0, 60.0),
    "humidity_pct": (0.0, 100.0),
    "rain_mm": (0.0, 400.0),
    "wind_ms": (0.0, 80.0),
    "cloud_pct": (0.0, 100.0),
}
"""Column: lowest and highest value that weather can have (records, rounded outwards), in the column's own unit."""

_EMPTY = frozenset({"", "-", "na", "n/a", "nan", "null", "none"})
_MISSING_CODES = frozenset({99.0, 99.9, 999.0, 999.9, 9999.0, 99999.0})
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?")
_ROUNDING = 1e-9


def read_number(text: str, column: str, line: int, comma_is_point: bool, unit: Unit | None = None) -> float | Fault:
    """Return the number in a cell, given in `unit` (None: the column's own), in the column's own unit.

    NaN for an empty cell, or the fault in it.
    """
    if text.lower() in _EMPTY:
        return math.nan
    plain = text.replace(",", ".", 1) if comma_is_point else text
    unit = unit or own_unit(column)
    if _NUMBER.fullmatch(plain) is None:
        hint = "Write the number alone, without its unit." if re.match(r"[+-]?\d", plain) else ""
        return Fault("forecast-number", column, line, repr(text), f"{allowed(column, unit)}, or an empty cell", hint)
    return in_range(float(plain), column, unit, column, line, text)


def in_range(value: float, column: str, unit: Unit, path: str, line: int | None, shown: str) -> float | Fault:
    """Return `value` [unit] in the column's own unit, or a fault at `path` where no weather has it."""
    lowest, highest = RANGES[column]
    ours = unit.ours(value)
    if lowest - _ROUNDING <= ours <= highest + _ROUNDING:
        return min(max(ours, lowest), highest)
    if abs(value) in _MISSING_CODES:
        hint = "A missing value is an empty cell (null in JSON)."
        return Fault("forecast-missing-code", path, line, shown, f"{allowed(column, unit)}, or an empty cell", hint)
    hint = _RANGE_HINTS.get(column, "") if unit == own_unit(column) else f"Is it really in {unit.name}?"
    return Fault("forecast-range", path, line, shown, f"{allowed(column, unit)}, or an empty cell", hint)


def allowed(column: str, unit: Unit) -> str:
    """Return in words which numbers a column in `unit` may hold."""
    lowest, highest = (unit.theirs(value) for value in RANGES[column])
    per = " in the hour" if column == "rain_mm" else ""
    return f"a number from {lowest:g} to {highest:g} {unit.name}{per}"


_RANGE_HINTS = {
    "air_c": "Is it in °F or K? Give °C, or say the unit, as in air_c=NAME[F].",
    "humidity_pct": "Is it another quantity? Give relative humidity in %.",
    "wind_ms": "Is it in km/h? Give m/s, or say the unit, as in wind_ms=NAME[km/h].",
    "cloud_pct": "Is it in eighths or tenths? Give %, or say the unit, as in cloud_pct=NAME[okta].",
}
