"""What the ribbons above the rows show, as plain numbers: light, temperatures, rain, dew risk."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from app.board.facts import Facts
from app.board.geometry import Box

DEW_MARGIN_C = 3.0
"""Kelvin above the dew point that a surface should keep where the operation says nothing (common practice for
coatings)."""
RAIN_FULL_MM_H = 4.0
"""Rain at which a column fills its ribbon."""
WET_MM_H = 0.1
"""Below this a slot counts as dry."""


@dataclass(frozen=True)
class Limits:
    """The conditions of the selected operation that the ribbons draw; None where it has none."""

    surface_c: tuple[float, float] | None = None
    air_c: tuple[float, float] | None = None
    dew_margin_c: float | None = None
    element: str | None = None


def nights(facts: Facts) -> tuple[tuple[int, int], ...]:
    """Return the slots between dusk and the next dawn."""
    found = []
    start = 0
    for dawn, dusk in facts.twilight:
        if dawn > start:
            found.append((start, dawn))
        start = dusk
    if start < facts.horizon:
        found.append((start, facts.horizon))
    return tuple(found)


def surface_of(facts: Facts, limits: Limits) -> tuple[str, np.ndarray] | None:
    """Return the element whose surface is drawn: the selected one, else the first of the job."""
    surfaces = facts.weather.surfaces if facts.weather else {}
    if limits.element in surfaces and limits.element is not None:
        return limits.element, surfaces[limits.element]
    return next(iter(surfaces.items()), None)


def temperature_range(facts: Facts, limits: Limits) -> tuple[float, float]:
    """Return the ends of the temperature ribbon [°C], whole fives that hold air, surface and the low limits."""
    if facts.weather is None:
        return 0.0, 20.0
    seen = [facts.weather.air_c]
    surface = surface_of(facts, limits)
    if surface:
        seen.append(surface[1])
    low = min(float(np.nanmin(values)) for values in seen)
    high = max(float(np.nanmax(values)) for values in seen)
    for pair in (limits.surface_c, limits.air_c):
        low = min(low, pair[0]) if pair else low
    low, high = 5 * math.floor(low / 5), 5 * math.ceil(high / 5)
    return float(low), float(max(high, low + 10))


def y_of(value: float, bounds: tuple[float, float], box: Box) -> float:
    """Return the y of a temperature in its ribbon, kept inside."""
    low, high = bounds
    share = (value - low) / (high - low)
    return box.bottom - 3 - min(1.0, max(0.0, share)) * (box.height - 6)


def trace(
    values: np.ndarray, px: float, first: int, last: int, bounds: tuple[float, float], box: Box
) -> list[tuple[float, float]]:
    """Return (content x, y) of a temperature line over slots first..last, about a point every three pixels.

    The points are those of every `step`-th slot of the job, so that a line keeps its shape when the view moves.
    """
    step = max(1, int(3 / px))
    start, finish = max(0, first // step * step - step), min(len(values) - 1, last + step)
    if start >= finish:
        return []
    slots = np.arange(start, finish + 1, step)
    low, high = bounds
    share = np.clip((values[slots] - low) / (high - low), 0.0, 1.0)
    y = box.bottom - 3 - share * (box.height - 6)
    return list(zip((slots * px).tolist(), y.tolist(), strict=True))


def runs(wanted: np.ndarray, first: int = 0) -> tuple[tuple[int, int], ...]:
    """Return [start, finish) of each run of True; `first` is added to both."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], wanted, [False])).astype(np.int8)))
    return tuple((int(a) + first, int(b) + first) for a, b in zip(edges[::2], edges[1::2], strict=True))


def runs_of(slots: Iterable[int]) -> tuple[tuple[int, int], ...]:
    """Return [first, after the last) of each run of slots that follow each other."""
    found: list[tuple[int, int]] = []
    for slot in sorted(slots):
        if found and found[-1][1] == slot:
            found[-1] = (found[-1][0], slot + 1)
        else:
            found.append((slot, slot + 1))
    return tuple(found)


def rain_columns(facts: Facts, first: int, last: int) -> tuple[tuple[int, int, float], ...]:
    """Return (start, finish, share of the ribbon's height) of each wet stretch of even rain."""
    if facts.weather is None:
        return ()
    rain = facts.weather.rain_mm_h[max(0, first) : max(0, last)]
    columns: list[tuple[int, int, float]] = []
    for start, finish in runs(rain >= WET_MM_H, max(0, first)):
        for slot in range(start, finish):
            share = min(1.0, 0.25 + 0.75 * float(facts.weather.rain_mm_h[slot]) / RAIN_FULL_MM_H)
            if columns and columns[-1][1] == slot and columns[-1][2] == share:
                columns[-1] = (columns[-1][0], slot + 1, share)
            else:
                columns.append((slot, slot + 1, share))
    return tuple(columns)


def dew_spans(facts: Facts, limits: Limits) -> tuple[tuple[int, int], ...]:
    """Return the slots in which the drawn surface is nearer to the dew point than it should be."""
    surface = surface_of(facts, limits)
    if facts.weather is None or surface is None:
        return ()
    margin = DEW_MARGIN_C if limits.dew_margin_c is None else limits.dew_margin_c
    near = surface[1] < facts.weather.dew_c + margin
    return runs(near[:-1] | near[1:])
