"""Go / no-go: each limit of each visit, the forecast at that hour, and what to do if the reading fails."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from planner.intervals import Interval
from planner.model import Conditions, Placement
from planner.sheets.rain import WET_MM_H
from planner.sheets.rows import LimitRow
from planner.sheets.scene import Scene
from planner.sheets.words import clean, reach
from planner.units import SLOTS_PER_HOUR, slots_up
from planner.weather.series import Floats

_RECORDED_AS = {"surface": "surface_c", "air": "air_c", "humidity": "humidity_pct", "wind": "wind_ms"}
"""What a limit's reading is called in the site record, by kind of limit."""
_CLOSE = {"°C": 1.5, "%": 5.0, "m/s": 2.0}
"""A forecast nearer than this to its limit is marked "close" (own judgement: near the error of a day's forecast)."""

FAILS = {
    "surface-low": "Don't place. Warm or tent it, take a cold-season grade, or wait.",
    "surface-high": "Don't place. Shade it, cool packs and water, or wait till cooler.",
    "air-low": "Don't start. Wait, or ask the engineer.",
    "air-high": "Don't start. Wait for a cooler hour.",
    "humidity": "Don't place. Wait, or heat and ventilate under cover.",
    "wind": "Stop. No lifting; screens only where the method allows.",
    "dew": "Don't place: it sweats. Warm the surface, not the air; wait.",
    "dry": "Don't place. Cover, dry the surface, read again.",
    "rain-free": "Only with covers to hand. Caught: cover; do as the data sheet says.",
    "protect-low": "Only if it can be kept covered and warm so long; read by logger.",
    "protect-high": "Shade it, keep it wet; read by logger.",
}
"""What to do if a reading fails, by kind of limit (common practice, no source; the data sheet governs)."""


@dataclass(frozen=True)
class _Read:
    """One limit with its forecast: the lowest and highest value, and what of them is allowed."""

    kind: str
    limit: str
    low: float
    high: float
    unit: str
    least: float = -np.inf
    most: float = np.inf

    @property
    def mark(self) -> str:
        """How the forecast stands to the limit."""
        margin = min(self.low - self.least, self.most - self.high)
        return "broken" if margin < -1e-6 else "close" if margin < _CLOSE[self.unit] else ""

    @property
    def fails(self) -> str:
        """What to do if the reading fails at the end that the forecast is nearer to."""
        end = "low" if self.low - self.least <= self.most - self.high else "high"
        return FAILS.get(self.kind) or FAILS[f"{self.kind}-{end}"]


def limit_rows(scene: Scene) -> Iterator[LimitRow]:
    """Yield the limits while work goes on, in order of time; then those that hold on after it.

    Of limits that hold on after work with one product on one element, one row tells the whole time.
    """
    for visit in scene.visits:
        conditions, held_c = scene.duty(visit).conditions, scene.duty(visit).held_c
        for read in _reads(scene, visit, conditions, held_c):
            row = _read_row(scene.work(visit), scene.clock.minutes(*scene.worked(visit)), read)
            yield replace(row, reading=_reading(scene, visit, read))
        if conditions.dry:
            yield _rain_row(scene, [visit], 0.0, "No rain, surface dry", "dry")
    yield from _rain_afterwards(scene)
    yield from _cold_afterwards(scene)


def _rain_afterwards(scene: Scene) -> Iterator[LimitRow]:
    groups: dict[tuple[str, str, float], list[Placement]] = {}
    for visit in scene.visits:
        hours = scene.duty(visit).conditions.rain_free_h
        if hours:
            groups.setdefault((*_layer(scene, visit), hours), []).append(visit)
    for (_, _, hours), visits in groups.items():
        yield _rain_row(scene, visits, hours, f"No rain for {hours:g} h after", "rain-free")


def _cold_afterwards(scene: Scene) -> Iterator[LimitRow]:
    groups: dict[tuple[str, str, float], list[Placement]] = {}
    for visit in scene.visits:
        hours = scene.duty(visit).conditions.protect_h
        if hours:
            groups.setdefault((*_layer(scene, visit), hours), []).append(visit)
    for (_, _, hours), visits in groups.items():
        read = _protected(scene, visits[-1], _after(visits, hours), f" for {hours:g} h after")
        if read is not None:
            yield _read_row(_all_work(scene, visits), _when_after(scene, visits, hours), read)


def _layer(scene: Scene, visit: Placement) -> tuple[str, str]:
    duty = scene.duty(visit)
    return duty.element.id, duty.product or duty.key


def _after(visits: list[Placement], hours: float) -> Interval:
    return Interval(min(one.finish for one in visits), max(one.finish for one in visits) + slots_up(hours))


def _when_after(scene: Scene, visits: list[Placement], hours: float) -> str:
    """Return the time after visits, counted from the minute recorded where there is one."""
    finishes = [scene.worked(one)[1] for one in visits]
    return scene.clock.minutes(min(finishes), max(finishes) + math.ceil(hours * 60))


def _reads(scene: Scene, visit: Placement, limits: Conditions, held_c: float | None) -> Iterator[_Read]:
    weather, span = scene.planned.weather, Interval(visit.start, visit.finish)
    surface = _surface(scene, visit, held_c)
    if limits.surface_c is not None:
        low, high = limits.surface_c
        yield _Read("surface", f"Surface {low:g} to {high:g} °C", *_within(surface, span), "°C", low, high)
    if limits.air_c is not None:
        low, high = limits.air_c
        yield _Read("air", f"Air {low:g} to {high:g} °C", *_within(weather.air_c, span), "°C", low, high)
    if limits.dew_margin_c is not None:
        margin = limits.dew_margin_c
        over = _within(surface - weather.dew_c, span)
        yield _Read("dew", f"Surface {margin:g} °C over dew point", *over, "°C", least=margin)
    if limits.humidity_max_pct is not None:
        most = limits.humidity_max_pct
        yield _Read("humidity", f"Humidity at most {most:g} %", *_within(weather.humidity_pct, span), "%", most=most)
    if limits.wind_max_ms is not None:
        most = limits.wind_max_ms
        yield _Read("wind", f"Wind at most {most:g} m/s", *_within(weather.wind_ms, span), "m/s", most=most)


def _surface(scene: Scene, visit: Placement, held_c: float | None) -> Floats:
    surface = scene.planned.weather.surface_c(scene.duty(visit).element)
    return surface if held_c is None else np.full_like(surface, held_c)


def _within(values: Floats, span: Interval) -> tuple[float, float]:
    """Return the lowest and highest value from start to finish, as far as the weather is known."""
    first = min(max(span.start, 0), len(values) - 1)
    part = values[first : max(first, min(span.finish, len(values) - 1)) + 1]
    return float(part.min()), float(part.max())


def _protected(scene: Scene, visit: Placement, span: Interval, more: str) -> _Read | None:
    """Return the limit on the surface in the protected time, and how long that is; None where there is none."""
    limits = scene.duty(visit).conditions
    surface = _surface(scene, visit, scene.duty(visit).held_c)
    if limits.protect_min_c is not None:
        words = f"Surface {limits.protect_min_c:g} °C or more{more}"
        return _Read("protect", words, *_within(surface, span), "°C", limits.protect_min_c)
    if limits.surface_c is None:
        return None
    least, most = limits.surface_c
    return _Read("protect", f"Surface {least:g} to {most:g} °C{more}", *_within(surface, span), "°C", least, most)


def _all_work(scene: Scene, visits: list[Placement]) -> str:
    """Return the work that a limit after it is about, from its first operation to its last."""
    first, last = scene.duty(visits[0]), scene.duty(visits[-1])
    return scene.work(visits[-1]) if first.key == last.key else f"{clean(first.name, 80)} to {scene.work(visits[-1])}"


def _reading(scene: Scene, visit: Placement, read: _Read) -> str:
    """Return what is recorded of a limit's reading; of the dew point nothing is, which is not read but worked out."""
    real, name = scene.planned.real_of(visit), _RECORDED_AS.get(read.kind, "")
    value = None if real is None else real.readings.get(name)
    return "" if value is None else f"{value:g} {read.unit}"


def _read_row(work: str, when: str, read: _Read) -> LimitRow:
    return LimitRow(work, when, read.limit, reach(read.low, read.high, read.unit), read.mark, read.fails)


def _rain_row(scene: Scene, visits: list[Placement], hours: float, limit: str, kind: str) -> LimitRow:
    """Return the limit on rain while a visit goes on, or for hours after visits."""
    span = _after(visits, hours) if hours else Interval(visits[0].start, visits[0].finish)
    when = _when_after(scene, visits, hours) if hours else scene.clock.minutes(*scene.worked(visits[0]))
    rain = scene.planned.weather.rain_mm_h[max(span.start, 0) : span.finish]
    wet = np.flatnonzero(rain >= WET_MM_H)
    words, mark = "dry", ""
    if len(wet):
        first = scene.clock.slot(max(span.start, 0) + int(wet[0]))
        words, mark = f"rain from {first}, {rain.sum() / SLOTS_PER_HOUR:.1f} mm", "broken"
    return LimitRow(_all_work(scene, visits), when, limit, words, mark, FAILS[kind])
