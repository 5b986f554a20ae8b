"""The units in which forecasts come, by column, and how to bring them to ours."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Unit:
    """A unit: ours = theirs × factor + offset. spellings: how files write it, in small letters without blanks."""

    name: str
    spellings: tuple[str, ...]
    factor: float = 1.0
    offset: float = 0.0

    def ours(self, value: float) -> float:
        """Return a value in this unit in the unit that the column's name ends in."""
        return value * self.factor + self.offset

    def theirs(self, value: float) -> float:
        """Return a value of ours in this unit."""
        return (value - self.offset) / self.factor


_PERCENT = Unit("%", ("%", "pct", "percent", "prozent"))
_FRACTION = Unit("fraction", ("fraction", "frac", "0-1", "0..1", "1", "ratio"), 100.0)

UNITS: dict[str, tuple[Unit, ...]] = {
    "air_c": (
        Unit("°C", ("c", "°c", "ºc", "degc", "degreesc", "celsius", "degreecelsius", "degreescelsius")),
        Unit("°F", ("f", "°f", "ºf", "degf", "degreesf", "fahrenheit", "degreesfahrenheit"), 5 / 9, -160 / 9),
        Unit("K", ("k", "kelvin"), 1.0, -273.15),
    ),
    "humidity_pct": (_PERCENT, _FRACTION),
    "rain_mm": (
        Unit("mm", ("mm", "mm/h", "mm/hr", "millimetres", "millimeters", "kg/m2", "kg/m²", "kgm-2", "l/m2", "l/m²")),
        Unit("inch", ("inch", "in", "inches", "in/h", "in/hr", '"'), 25.4),
    ),
    "wind_ms": (
        Unit("m/s", ("m/s", "ms", "mps", "ms-1", "m/sec", "metres/second", "meters/second")),
        Unit("km/h", ("km/h", "kmh", "kph", "kmph", "km/hr"), 1 / 3.6),
        Unit("mph", ("mph", "mp/h", "mi/h", "miles/hour"), 0.44704),
        Unit("kn", ("kn", "kt", "kts", "knot", "knots"), 1852 / 3600),
    ),
    "cloud_pct": (
        _PERCENT,
        _FRACTION,
        Unit("okta", ("okta", "oktas", "octas", "eighths", "/8", "achtel", "octavos", "huitièmes"), 12.5),
        Unit("tenths", ("tenths", "tenth", "/10", "zehntel", "décimas", "dixièmes"), 10.0),
    ),
}
"""Units by column, ours first. The factors are the units' definitions (inch 25.4 mm, mile 1,609.344 m, nautical
mile 1,852 m, 0 °C = 273.15 K)."""


def own_unit(column: str) -> Unit:
    """Return the unit that the column's name ends in."""
    return UNITS[column][0]


def unit_called(column: str, text: str) -> Unit | None:
    """Return the unit of `column` that `text` names, or None; capitals and blanks don't matter."""
    spelling = "".join(text.lower().split())
    return next((unit for unit in UNITS[column] if spelling in unit.spellings), None)


def unit_names(column: str) -> str:
    """Return the names of all units of a column, as words."""
    return ", ".join(unit.name for unit in UNITS[column])
