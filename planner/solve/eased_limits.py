"""The limits of weather on one operation, given way to step by step."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from planner.model import Conditions
from planner.problem.requirements import Kind

Eased = Callable[[int], tuple[Conditions, str]]

_HALF = 1 / 2
_QUARTER = 1 / 4
_FARTHEST_K = 30.0


@dataclass(frozen=True)
class _Way:
    """One number of the conditions that can give way: where it stands, by how much a level, for how many levels."""

    what: str
    stands: float
    step: float
    levels: int
    words: str
    """With {new} and {old}, the numbers before and after."""
    change: Callable[[float], dict[str, object]]
    """The fields of Conditions when the number has become this."""
    most: float = float("inf")

    def eased(self, limits: Conditions) -> Eased:
        """Return the conditions, and the words for them, at a level from 1 on."""

        def at(level: int) -> tuple[Conditions, str]:
            number = min(self.most, self.stands + self.step * level)
            words = self.words.format(new=f"{number:g}", old=f"{self.stands:g}")
            return limits.model_copy(update=self.change(number)), words

        return at


def eased_limits(kind: Kind, limits: Conditions) -> Iterator[tuple[str, Eased, int]]:
    """Yield (what it is, conditions and words at a level, number of levels) for a limit that has degrees."""
    for way in _ways(kind, limits):
        yield way.what, way.eased(limits), way.levels


def _ways(kind: Kind, limits: Conditions) -> Iterator[_Way]:
    if kind is Kind.SURFACE:
        yield from _range_ways("a surface", "surface_c", limits.surface_c)
    elif kind is Kind.AIR:
        yield from _range_ways("air", "air_c", limits.air_c)
    elif kind is Kind.PROTECT:
        yield from _shorter("protection", "protect_h", limits.protect_h)
        if limits.protect_h and limits.protect_min_c is not None:
            yield _colder("protection", "at {new} °C instead of {old} °C", "protect_min_c", limits.protect_min_c)
    elif kind is Kind.RAIN_AFTER:
        yield from _shorter("no rain after it", "rain_free_h", limits.rain_free_h)
    else:
        yield from _ways_of_air(kind, limits)


def _ways_of_air(kind: Kind, limits: Conditions) -> Iterator[_Way]:
    """Yield the ways of wind, humidity and dew point."""
    if kind is Kind.WIND and limits.wind_max_ms is not None:
        words = "up to {new} m/s instead of {old} m/s"
        yield _Way("wind", limits.wind_max_ms, _HALF, 60, words, lambda new: {"wind_max_ms": new})
    elif kind is Kind.HUMIDITY and limits.humidity_max_pct is not None:
        words = "up to {new} % instead of {old} %"
        yield _Way(
            "humidity", limits.humidity_max_pct, 1, 100, words, lambda new: {"humidity_max_pct": new}, most=100.0
        )
    elif kind is Kind.DEW and limits.dew_margin_c is not None:
        words = "{new} K below the surface instead of {old} K"
        margin = limits.dew_margin_c
        levels = int(margin / _QUARTER)
        yield _Way("the dew point", margin, -_QUARTER, levels, words, lambda new: {"dew_margin_c": new})


def _range_ways(what: str, field: str, allowed: tuple[float, float] | None) -> Iterator[_Way]:
    low, high = allowed or (0.0, 0.0)
    yield _Way(
        what,
        low,
        -_HALF,
        int(_FARTHEST_K / _HALF),
        "down to {new} °C instead of {old} °C",
        lambda new: {field: (new, high)},
    )
    yield _Way(
        what,
        high,
        _HALF,
        int(_FARTHEST_K / _HALF),
        "up to {new} °C instead of {old} °C",
        lambda new: {field: (low, new)},
    )


def _colder(what: str, words: str, field: str, least: float) -> _Way:
    return _Way(what, least, -_HALF, int(_FARTHEST_K / _HALF), words, lambda new: {field: new})


def _shorter(what: str, field: str, hours: float | None) -> Iterator[_Way]:
    if hours:
        words = "for {new} h instead of {old} h"
        yield _Way(what, hours, -_QUARTER, int(hours / _QUARTER), words, lambda new: {field: new})
