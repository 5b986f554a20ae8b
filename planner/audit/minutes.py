"""The weather at every whole minute of the job, and the cure clocks that it drives."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from planner.audit.clocks import CureClock, Floats, opening_clock, shutting_clock
from planner.audit.gates import Gate
from planner.model import Element, GapCurve, SurfaceKind
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather

WET_MM_H = 0.1
"""Rain from which on a quarter-hour counts as wet [mm/h]; common practice: the least that a gauge shows."""


@dataclass(frozen=True, eq=False)
class MinuteWeather:
    """Temperatures, humidity and wind at whole minutes, linear between the slots' boundaries; filled as asked."""

    weather: JobWeather
    _kept: dict[object, Floats] = field(default_factory=dict)
    _clocks: dict[object, CureClock | None] = field(default_factory=dict)

    @property
    def air_c(self) -> Floats:
        """Air temperature [°C]."""
        return self._minutes("air", self.weather.air_c)

    @property
    def humidity_pct(self) -> Floats:
        """Relative humidity of the air [%]."""
        return self._minutes("humidity", self.weather.humidity_pct)

    @property
    def wind_ms(self) -> Floats:
        """Mean wind [m/s]."""
        return self._minutes("wind", self.weather.wind_ms)

    @property
    def dew_c(self) -> Floats:
        """Dew point [°C]."""
        return self._minutes("dew", self.weather.dew_c)

    @property
    def rain_mm_h(self) -> Floats:
        """Rain [mm/h] in each minute; one value fewer than the instants have."""
        if "rain" not in self._kept:
            self._kept["rain"] = np.repeat(np.asarray(self.weather.rain_mm_h, dtype=np.float64), SLOT_MINUTES)
        return self._kept["rain"]

    def surface_c(self, element: Element, held_c: float | None = None) -> Floats:
        """Surface temperature of `element` [°C]; `held_c` where a heated enclosure stands over it."""
        if held_c is not None:
            return np.full(len(self.air_c), held_c)
        key = _kind(element)
        if key not in self._kept:
            self._minutes(key, self.weather.surface_c(element))
        return self._kept[key]

    def opening(self, curve: GapCurve, element: Element, held_c: float | None = None) -> CureClock | None:
        """Return the clock that opens `curve` on `element`; None if it is open at once."""
        key = ("opening", curve.not_before, curve.stalls_below_c, self._driver(curve, element, held_c))
        if key not in self._clocks:
            self._clocks[key] = opening_clock(curve, self._temperature(curve, element, held_c))
        return self._clocks[key]

    def gate(self, gate: Gate, element: Element, held_c: float | None = None) -> CureClock:
        """Return the clock of a gate, which the surface of `element` drives."""
        key = (gate, _kind(element) if held_c is None else held_c)
        clock = self._clocks.get(key)
        if clock is None:
            clock = self._clocks[key] = gate.clock(self.surface_c(element, held_c))
        return clock

    def shutting(self, curve: GapCurve, element: Element, held_c: float | None = None) -> CureClock | None:
        """Return the clock that shuts `curve` on `element`; None if it never shuts."""
        key = ("shutting", curve.not_after, self._driver(curve, element, held_c))
        if key not in self._clocks:
            self._clocks[key] = shutting_clock(curve, self._temperature(curve, element, held_c))
        return self._clocks[key]

    def _driver(self, curve: GapCurve, element: Element, held_c: float | None) -> object:
        if held_c is not None:
            return held_c
        return "air" if curve.temperature == "air" else _kind(element)

    def _temperature(self, curve: GapCurve, element: Element, held_c: float | None) -> Floats:
        on_air = curve.temperature == "air" and held_c is None
        return self.air_c if on_air else self.surface_c(element, held_c)

    def _minutes(self, key: object, at_slots: Floats) -> Floats:
        if key not in self._kept:
            slots = np.arange(len(at_slots), dtype=np.float64)
            minutes = np.arange((len(at_slots) - 1) * SLOT_MINUTES + 1, dtype=np.float64)
            self._kept[key] = np.interp(minutes / SLOT_MINUTES, slots, at_slots)
        return self._kept[key]


def _kind(element: Element) -> SurfaceKind:
    """Return what an element's surface temperature depends on."""
    return element.surface_kind
