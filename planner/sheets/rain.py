"""What rain would do to the work of a shift, in two sentences: when it is forecast, and what it stops."""

from __future__ import annotations

import numpy as np

from planner.sheets.scene import Scene
from planner.sheets.words import clean
from planner.units import SLOTS_PER_HOUR, slots_up

WET_MM_H = 0.1
"""Rain from which on a quarter-hour counts as wet [mm/h]; common practice: the least that a gauge shows."""


def rain_words(scene: Scene) -> str:
    """Return when rain is forecast, then which work must not go on in it and after which it must stay off."""
    return f"{_forecast(scene)} {_stops(scene)}"


def _forecast(scene: Scene) -> str:
    free = [slots_up(scene.duty(visit).conditions.rain_free_h or 0) + visit.finish for visit in scene.visits]
    until = max(scene.span.finish, *free)
    rain = scene.planned.weather.rain_mm_h[max(scene.span.start, 0) : until]
    wet = np.flatnonzero(rain >= WET_MM_H)
    if not len(wet):
        return f"No rain is forecast until {scene.clock.slot(until)}."
    first = scene.clock.slot(max(scene.span.start, 0) + int(wet[0]))
    return f"Rain is forecast from {first}, {rain.sum() / SLOTS_PER_HOUR:.1f} mm until {scene.clock.slot(until)}."


def _stops(scene: Scene) -> str:
    dry, free = [], []
    for visit in scene.visits:
        conditions, name = scene.duty(visit).conditions, clean(scene.duty(visit).name, 60)
        if conditions.dry:
            dry.append(f"“{name}”")
        if conditions.rain_free_h:
            free.append(f"“{name}” ({conditions.rain_free_h:g} h)")
    parts = []
    if dry:
        parts.append(f"don't start or go on with {', '.join(dict.fromkeys(dry))}")
    if free:
        parts.append(f"keep it off after {', '.join(dict.fromkeys(free))}")
    if not parts:
        return "No work of this shift has a limit on rain in the job; data sheets govern."
    return f"If it rains: {'; '.join(parts)}."
