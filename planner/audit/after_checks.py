"""Rain while work goes on, and rain, cold, heat and dew in the protected time after each visit."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from planner.audit.case import Case, minutes_of
from planner.audit.duties import Duty, whole_slots
from planner.audit.minutes import WET_MM_H
from planner.audit.weather_checks import Limit, broken, dew_limit
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.model import Placement
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield rain and broken protected times."""
    for duty, visits in case.chosen:
        for visit in visits:
            if visit.start >= 0 and visit.finish <= case.side.horizon:
                yield from _unknown_weather(case, duty, visit)
                yield from _rain(case, duty, visit)
                yield from _protected(case, duty, visit)


def _unknown_weather(case: Case, duty: Duty, visit: Placement) -> Iterator[Finding]:
    hours = max(_protect_h(duty), duty.conditions.rain_free_h or 0.0)
    needed = visit.finish + (whole_slots(hours) if hours else 0)
    if needed > case.side.horizon:
        yield Finding(
            "outside-job",
            duty.key,
            f"weather known for {length_words(hours * 60)} after {duty.called}, until {case.at(needed)}",
            f"weather known until {case.at(case.side.horizon)}",
            visit.finish,
        )


def _protect_h(duty: Duty) -> float:
    """Return the hours [h] for which some limit holds after the finish."""
    conditions = duty.conditions
    limits = (conditions.protect_min_c, conditions.surface_c, conditions.dew_margin_c)
    return (conditions.protect_h or 0.0) if any(limit is not None for limit in limits) else 0.0


def _rain(case: Case, duty: Duty, visit: Placement) -> Iterator[Finding]:
    start, finish = minutes_of(visit)
    if duty.conditions.dry:
        yield from _wet(case, duty, start, finish, "rain", "while work goes on")
    hours = duty.conditions.rain_free_h
    if hours:
        during = f"for {length_words(hours * 60)} after it"
        yield from _wet(case, duty, finish, finish + whole_slots(hours) * SLOT_MINUTES, "rain-after", during)


def _wet(case: Case, duty: Duty, start: int, finish: int, code: str, during: str) -> Iterator[Finding]:
    rain = case.side.minutes.rain_mm_h[start:finish]
    wet = np.flatnonzero(rain >= WET_MM_H)
    if len(wet):
        first = start + int(wet[0])
        yield Finding(
            code,
            duty.key,
            f"no rain for {duty.called}, {during}",
            f"rain at {case.at_minute(first)}, up to {rain.max():.1f} mm/h",
            first // SLOT_MINUTES,
        )


def _protected(case: Case, duty: Duty, visit: Placement) -> Iterator[Finding]:
    conditions = duty.conditions
    hours = _protect_h(duty)
    if not hours:
        return
    _, start = minutes_of(visit)
    finish = min(start + whole_slots(hours) * SLOT_MINUTES, case.side.horizon * SLOT_MINUTES)
    during = f"for {length_words(hours * 60)} after it"
    surface = case.side.minutes.surface_c(duty.element, duty.held_c)
    limits = [(limit, surface) for limit in _surface_limits(duty)]
    if conditions.dew_margin_c is not None:
        limits.append((dew_limit("protect", conditions.dew_margin_c), surface - case.side.minutes.dew_c))
    for limit, read in limits:
        yield from broken(case, duty, visit, limit, read, start, finish, during)


def _surface_limits(duty: Duty) -> list[Limit]:
    """Return the stated lowest temperature alone; where none is stated, the range in which work may go on."""
    conditions = duty.conditions
    if conditions.protect_min_c is not None:
        return [Limit("frost-after", "a surface", "°C", conditions.protect_min_c, True)]
    if conditions.surface_c is None:
        return []
    low, high = conditions.surface_c
    return [Limit("protect", "a surface", "°C", low, True), Limit("protect", "a surface", "°C", high, False)]
