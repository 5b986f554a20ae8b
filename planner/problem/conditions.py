"""Conditions of light and weather as slot sets: where work may go on, and where a visit may end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.model import Conditions
from planner.problem import bits
from planner.problem.requirements import Kind
from planner.units import slots_up
from planner.weather.job_weather import JobWeather

Temperatures = NDArray[np.float64]

WET_MM = 0.1
"""Rain in the hour [mm] from which it counts as wet: the least that a rain gauge of common make tells."""


@dataclass(frozen=True)
class SlotSets:
    """For one operation: `work` by kind (slots in which work may go on), `ends` by kind (boundaries)."""

    work: tuple[tuple[Kind, int], ...]
    ends: tuple[tuple[Kind, int], ...]


def slot_sets(conditions: Conditions, weather: JobWeather, surface_c: Temperatures) -> SlotSets:
    """Return where `conditions` hold; `surface_c` [°C] has shape (H + 1,), one value a slot boundary.

    Both boundaries of a slot must satisfy a limit, which is exact for values linear between them.
    """
    return SlotSets(tuple(_work(conditions, weather, surface_c)), tuple(_ends(conditions, weather, surface_c)))


def _work(conditions: Conditions, weather: JobWeather, surface_c: Temperatures) -> list[tuple[Kind, int]]:
    sets: list[tuple[Kind, int]] = []
    if conditions.surface_c is not None:
        sets.append((Kind.SURFACE, bits.of_array(_inside(surface_c, *conditions.surface_c))))
    if conditions.air_c is not None:
        sets.append((Kind.AIR, bits.of_array(_inside(weather.air_c, *conditions.air_c))))
    if conditions.humidity_max_pct is not None:
        sets.append((Kind.HUMIDITY, bits.of_array(_highest(weather.humidity_pct) <= conditions.humidity_max_pct)))
    if conditions.wind_max_ms is not None:
        sets.append((Kind.WIND, bits.of_array(_highest(weather.wind_ms) <= conditions.wind_max_ms)))
    if conditions.dew_margin_c is not None:
        margin = _lowest(surface_c - weather.dew_c)
        sets.append((Kind.DEW, bits.of_array(margin >= conditions.dew_margin_c)))
    if conditions.dry:
        sets.append((Kind.RAIN, bits.of_array(weather.rain_mm_h < WET_MM)))
    return sets


def _ends(conditions: Conditions, weather: JobWeather, surface_c: Temperatures) -> list[tuple[Kind, int]]:
    sets: list[tuple[Kind, int]] = []
    if conditions.protect_h:
        calm = _protected(conditions, weather, surface_c)
        sets.append((Kind.PROTECT, bits.runs(bits.of_array(calm), slots_up(conditions.protect_h))))
    if conditions.rain_free_h:
        dry = bits.of_array(weather.rain_mm_h < WET_MM)
        sets.append((Kind.RAIN_AFTER, bits.runs(dry, slots_up(conditions.rain_free_h))))
    return sets


def _protected(conditions: Conditions, weather: JobWeather, surface_c: Temperatures) -> NDArray[Any]:
    calm: NDArray[Any] = np.ones(len(surface_c) - 1, dtype=bool)
    if conditions.protect_min_c is not None:
        calm &= _lowest(surface_c) >= conditions.protect_min_c
    elif conditions.surface_c is not None:
        calm &= _inside(surface_c, *conditions.surface_c)
    if conditions.dew_margin_c is not None:
        calm &= _lowest(surface_c - weather.dew_c) >= conditions.dew_margin_c
    return calm


def _lowest(values: Temperatures) -> Temperatures:
    return np.minimum(values[:-1], values[1:])


def _highest(values: Temperatures) -> Temperatures:
    return np.maximum(values[:-1], values[1:])


def _inside(values: Temperatures, low: float, high: float) -> NDArray[Any]:
    return (_lowest(values) >= low) & (_highest(values) <= high)
