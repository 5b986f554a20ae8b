"""The limits of weather on one operation, given way to step by step."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from planner.model import Conditions
from planner.problem.requirements import Kind

_KELVIN = tuple(step / 2 for step in range(1, 61))

Eased = Callable[[int], tuple[Conditions, str]]


def eased_limits(kind: Kind, limits: Conditions) -> Iterator[tuple[str, Eased, int]]:
    """Yield (what it is, conditions and words at a level, number of levels) for a limit that has degrees."""
    if kind in (Kind.SURFACE, Kind.AIR):
        name, what = ("surface_c", "a surface") if kind is Kind.SURFACE else ("air_c", "air")
        low, high = (limits.surface_c if kind is Kind.SURFACE else limits.air_c) or (0.0, 0.0)
        yield (
            what,
            lambda level: _with(
                limits,
                f"down to {low - _KELVIN[level - 1]:g} °C instead of {low:g} °C",
                **{name: (low - _KELVIN[level - 1], high)},
            ),
            len(_KELVIN),
        )
        yield (
            what,
            lambda level: _with(
                limits,
                f"up to {high + _KELVIN[level - 1]:g} °C instead of {high:g} °C",
                **{name: (low, high + _KELVIN[level - 1])},
            ),
            len(_KELVIN),
        )
    elif kind is Kind.PROTECT and limits.protect_h:
        hours = limits.protect_h
        yield (
            "protection",
            lambda level: _with(
                limits, f"for {hours - level / 4:g} h instead of {hours:g} h", protect_h=hours - level / 4
            ),
            int(hours * 4),
        )
        if limits.protect_min_c is not None:
            least = limits.protect_min_c
            yield (
                "protection",
                lambda level: _with(
                    limits,
                    f"at {least - _KELVIN[level - 1]:g} °C instead of {least:g} °C",
                    protect_min_c=least - _KELVIN[level - 1],
                ),
                len(_KELVIN),
            )
    elif kind is Kind.RAIN_AFTER and limits.rain_free_h:
        dry = limits.rain_free_h
        yield (
            "no rain after it",
            lambda level: _with(
                limits, f"for {dry - level / 4:g} h instead of {dry:g} h", rain_free_h=dry - level / 4
            ),
            int(dry * 4),
        )
    elif kind is Kind.WIND and limits.wind_max_ms is not None:
        wind = limits.wind_max_ms
        yield (
            "wind",
            lambda level: _with(
                limits, f"up to {wind + level / 2:g} m/s instead of {wind:g} m/s", wind_max_ms=wind + level / 2
            ),
            60,
        )
    elif kind is Kind.HUMIDITY and limits.humidity_max_pct is not None:
        damp = limits.humidity_max_pct
        yield (
            "humidity",
            lambda level: _with(
                limits,
                f"up to {min(100.0, damp + level):g} % instead of {damp:g} %",
                humidity_max_pct=min(100.0, damp + level),
            ),
            100,
        )
    elif kind is Kind.DEW and limits.dew_margin_c is not None:
        margin = limits.dew_margin_c
        yield (
            "the dew point",
            lambda level: _with(
                limits,
                f"{margin - level / 4:g} K below the surface instead of {margin:g} K",
                dew_margin_c=margin - level / 4,
            ),
            int(margin * 4),
        )


def _with(limits: Conditions, words: str, **changes: object) -> tuple[Conditions, str]:
    return limits.model_copy(update=changes), words
