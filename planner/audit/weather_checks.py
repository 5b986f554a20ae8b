"""Temperature, humidity, wind and dew point while work goes on, minute by minute."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planner.audit.case import Case, minutes_of
from planner.audit.clocks import Floats
from planner.audit.duties import Duty
from planner.audit.wording import length_words, reading_words
from planner.findings import Finding
from planner.model import Placement
from planner.units import SLOT_MINUTES

DUST = 1e-6
"""Rounding of a temperature, humidity or wind read between two boundaries, in its own unit."""


@dataclass(frozen=True)
class Limit:
    """A limit on a quantity: `at_least` or at most `value`, with the words for it."""

    code: str
    quantity: str
    unit: str
    value: float
    at_least: bool

    @property
    def words(self) -> str:
        """The limit for people."""
        return f"{self.quantity} of {'at least' if self.at_least else 'at most'} {self.value:g} {self.unit}"

    def short_by(self, read: Floats) -> Floats:
        """Return by how much each reading breaks the limit; not above 0 where it keeps it."""
        return self.value - read if self.at_least else read - self.value

    def shown(self, read: float) -> str:
        """Return a reading that breaks the limit, with as many decimals as it takes to see that."""
        fine = (places for places in (1, 2) if self.short_by(np.round(read, places)) > DUST)
        return reading_words(read, next(fine, 3))


def check(case: Case) -> Iterator[Finding]:
    """Yield every limit of the weather that is broken while an operation goes on."""
    for duty, visits in case.chosen:
        for visit in visits:
            if visit.start >= 0 and visit.finish <= case.side.horizon:
                for limit, read in _limits(case, duty):
                    yield from broken(case, duty, visit, limit, read, *minutes_of(visit), "while work goes on")


def _limits(case: Case, duty: Duty) -> Iterator[tuple[Limit, Floats]]:
    conditions, minutes = duty.conditions, case.side.minutes
    if conditions.surface_c is not None:
        surface = minutes.surface_c(duty.element, duty.held_c)
        yield Limit("surface-cold", "a surface", "°C", conditions.surface_c[0], True), surface
        yield Limit("surface-hot", "a surface", "°C", conditions.surface_c[1], False), surface
    if conditions.air_c is not None:
        yield Limit("air-cold", "air", "°C", conditions.air_c[0], True), minutes.air_c
        yield Limit("air-hot", "air", "°C", conditions.air_c[1], False), minutes.air_c
    if conditions.humidity_max_pct is not None:
        yield Limit("humid", "a humidity", "%", conditions.humidity_max_pct, False), minutes.humidity_pct
    if conditions.wind_max_ms is not None:
        yield Limit("windy", "a wind", "m/s", conditions.wind_max_ms, False), minutes.wind_ms
    if conditions.dew_margin_c is not None:
        margin = minutes.surface_c(duty.element, duty.held_c) - minutes.dew_c
        yield dew_limit("dew-point", conditions.dew_margin_c), margin


def dew_limit(code: str, margin_c: float) -> Limit:
    """Return the limit that the surface be so much warmer than the dew point."""
    return Limit(code, "a surface above the dew point", "°C", margin_c, True)


def broken(
    case: Case, duty: Duty, visit: Placement, limit: Limit, read: Floats, start: int, finish: int, during: str
) -> Iterator[Finding]:
    """Yield a finding if the limit is broken at any whole minute from `start` to `finish`, both included."""
    short_by = limit.short_by(read[start : finish + 1])
    over = short_by > DUST
    if not over.any():
        return
    first, worst = start + int(np.argmax(over)), start + int(np.argmax(short_by))
    yield Finding(
        limit.code,
        duty.key,
        f"{limit.words} for {duty.called}, {during}",
        f"{limit.shown(read[worst])} {limit.unit} at {case.at_minute(worst)}; broken from {case.at_minute(first)} "
        f"for {length_words(_minutes_over(over))}",
        min(first // SLOT_MINUTES, case.side.horizon - 1),
    )


def _minutes_over(over: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> int:
    """Return how many minutes long a limit is broken that is read at the minutes' ends; at the least one."""
    return max(1, int(np.count_nonzero(over[:-1] & over[1:])))
