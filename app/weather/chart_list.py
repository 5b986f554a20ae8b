"""The weather chart as a display list: lines, bands and bars in pixels of one view, by role; no colours, no Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from app.board.facts import Visit
from app.board.geometry import SLOTS_A_DAY, Box, Scale
from app.board.ribbons import runs
from app.weather.chart_data import ChartData, has_limits, met_spans
from app.weather.chart_frame import ChartFrame

Points = tuple[tuple[float, float], ...]
_PIXELS_A_POINT = 3.0
_RAIN_FULL_MM = 4.0
_FINE_DAY_PX = 24.0
"""A day narrower than this is a stroke up and down: smooth and thick lines would only cost time."""
_LEAST_BAR_PX = 2.0


class Role(Enum):
    """What a line stands for; the painter knows its colour, width and dashes."""

    AIR = "air"
    STANDING = "air in the plan's forecast"
    DEW = "dew point"
    DEW_LIMIT = "dew point and margin"
    MAIN_SURFACE = "surface"
    SURFACE = "other surface"
    WIND = "wind"
    LIMIT = "limit"


@dataclass(frozen=True)
class ChartLine:
    """A line in view; `number` tells surfaces apart."""

    role: Role
    points: Points
    number: int = 0


@dataclass(frozen=True)
class Mark:
    """Words at a y of a pane: a gridline's value or a limit's."""

    y: float
    words: str
    is_limit: bool = False


@dataclass(frozen=True)
class StripBar:
    """One visit in the strip."""

    box: Box
    visit: Visit
    is_broken: bool


@dataclass(frozen=True)
class ChartList:
    """All in view. band: polygons between the standing and the shown air; nights, met: x from and to.

    is_coarse: days are so narrow that lines are drawn plainly.
    """

    temperature: tuple[ChartLine, ...]
    band: tuple[Points, ...]
    wind: tuple[ChartLine, ...]
    rain: tuple[Box, ...]
    nights: tuple[tuple[float, float], ...]
    met: tuple[tuple[float, float], ...] | None
    bars: tuple[StripBar, ...]
    temperature_marks: tuple[Mark, ...]
    wind_marks: tuple[Mark, ...]
    bounds_c: tuple[float, float]
    is_coarse: bool


@dataclass(frozen=True)
class View:
    """Where the chart looks: pixels a slot, and the content x at the panes' left edge."""

    scale: Scale
    x: float

    def at(self, slots: np.ndarray, box: Box) -> np.ndarray:
        """Return viewport x of slots."""
        return np.asarray(slots, dtype=float) * self.scale.px - self.x + box.x

    def x_of(self, slot: float, box: Box) -> float:
        """Return the viewport x of one slot."""
        return slot * self.scale.px - self.x + box.x

    def span(self, box: Box) -> tuple[float, float]:
        """Return the first and last slot in view, an hour more at both sides."""
        return self.scale.slot(self.x) - 4, self.scale.slot(self.x + box.width) + 4


def build(data: ChartData, frame: ChartFrame, view: View) -> ChartList:
    """Return what lies in view."""
    bounds = temperature_bounds(data)
    wind_top = max(8.0, 2.0 * math.ceil(float(np.nanmax(data.series.wind_ms, initial=0.0)) / 2.0))
    wind_limit = data.limits.conditions.wind_max_ms
    wind_top = max(wind_top, wind_limit * 1.1) if wind_limit is not None else wind_top
    wind = _lines(Role.WIND, data.hours_at, data.series.wind_ms, (0.0, wind_top), frame.wind, view)
    wind_marks = [Mark(y_in(wind_top, (0.0, wind_top), frame.wind), f"{wind_top:g}")]
    if wind_limit is not None:
        wind.append(_level(wind_limit, (0.0, wind_top), frame.wind))
        wind_marks = [Mark(wind[-1].points[0][1], f"{wind_limit:g} m/s", True)]
    return ChartList(
        temperature=_temperature_lines(data, bounds, frame.temperature, view),
        band=_band(data, bounds, frame.temperature, view),
        wind=tuple(wind) if frame.wind.height else (),
        rain=_rain(data, frame.rain, view),
        nights=_nights(data, frame.temperature, view),
        met=_spans(met_spans(data), frame.met, view) if has_limits(data.limits) else None,
        bars=_bars(data, frame, view),
        temperature_marks=_marks(data, bounds, frame.temperature),
        wind_marks=tuple(wind_marks) if frame.wind.height else (),
        bounds_c=bounds,
        is_coarse=view.scale.px * SLOTS_A_DAY < _FINE_DAY_PX,
    )


def temperature_bounds(data: ChartData) -> tuple[float, float]:
    """Return the ends of the temperature pane [°C]: whole fives that hold all lines and the limits nearby."""
    shown = [data.series.air_c, data.dew_c, *(values for _, values in data.surfaces)]
    if data.standing is not None:
        shown.append(data.standing.air_c)
    known = np.concatenate([values[np.isfinite(values)] for values in shown])
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 20.0)
    for limit in _temperature_limits(data):
        if low - 10 <= limit <= high + 10:
            low, high = min(low, limit), max(high, limit)
    return 5.0 * math.floor(low / 5), max(5.0 * math.ceil(high / 5), 5.0 * math.floor(low / 5) + 10)


def y_in(value: float, bounds: tuple[float, float], box: Box) -> float:
    """Return the y of a value in a pane, kept inside."""
    share = (value - bounds[0]) / (bounds[1] - bounds[0])
    return box.bottom - 2 - min(1.0, max(0.0, share)) * (box.height - 4)


def thinned(at: np.ndarray, values: np.ndarray, most: int) -> tuple[np.ndarray, np.ndarray]:
    """Return at most about `most` points of a line; each run that is left out keeps its lowest and highest."""
    size = math.ceil(2 * len(values) / max(2, most))
    if size <= 2:
        return at, values
    padded = np.pad(values, (0, -len(values) % size), constant_values=np.nan).reshape(-1, size)
    lowest = np.where(np.isnan(padded), np.inf, padded).argmin(axis=1)
    highest = np.where(np.isnan(padded), -np.inf, padded).argmax(axis=1)
    first = np.arange(len(padded)) * size
    kept = np.zeros(len(values), dtype=bool)
    kept[np.concatenate([first + lowest, first + highest, [0, len(values) - 1]])] = True
    return at[kept], values[kept]


def _lines(
    role: Role,
    at: np.ndarray,
    values: np.ndarray,
    bounds: tuple[float, float],
    box: Box,
    view: View,
    number: int = 0,
) -> list[ChartLine]:
    """Return a course in view, a line for each run of hours that have a value."""
    first, last = view.span(box)
    inside = slice(max(0, int(np.searchsorted(at, first)) - 1), int(np.searchsorted(at, last)) + 1)
    slots, part = thinned(at[inside], values[inside], int(box.width / _PIXELS_A_POINT))
    share = np.clip((part - bounds[0]) / (bounds[1] - bounds[0]), 0.0, 1.0)
    y = box.bottom - 2 - share * (box.height - 4)
    points = list(zip(view.at(slots, box).tolist(), y.tolist(), strict=True))
    return [ChartLine(role, tuple(points[start:finish]), number) for start, finish in runs(np.isfinite(part))]


def _level(value: float, bounds: tuple[float, float], box: Box) -> ChartLine:
    y = y_in(value, bounds, box)
    return ChartLine(Role.LIMIT, ((box.x, y), (box.right, y)))


def _temperature_lines(data: ChartData, bounds: tuple[float, float], box: Box, view: View) -> tuple[ChartLine, ...]:
    """Return the lines from the weakest to the strongest."""
    lines: list[ChartLine] = []
    slots = np.arange(data.time.horizon + 1, dtype=float)
    lines += _lines(Role.DEW, data.hours_at, data.dew_c, bounds, box, view)
    margin = data.limits.conditions.dew_margin_c
    if margin is not None:
        lines += _lines(Role.DEW_LIMIT, data.hours_at, data.dew_c + margin, bounds, box, view)
    if data.standing is not None:
        lines += _lines(Role.STANDING, data.standing_at, data.standing.air_c, bounds, box, view)
    others = [number for number in range(len(data.surfaces)) if number != data.main]
    for other in others:
        lines += _lines(Role.SURFACE, slots, data.surfaces[other][1], bounds, box, view, other)
    lines += _lines(Role.AIR, data.hours_at, data.series.air_c, bounds, box, view)
    if data.main_surface is not None:
        lines += _lines(Role.MAIN_SURFACE, slots, data.main_surface, bounds, box, view, data.main)
    lines += [_level(limit, bounds, box) for limit in _temperature_limits(data) if bounds[0] <= limit <= bounds[1]]
    return tuple(lines)


def _temperature_limits(data: ChartData) -> tuple[float, ...]:
    conditions = data.limits.conditions
    return tuple(dict.fromkeys((*(conditions.surface_c or ()), *(conditions.air_c or ()))))


def _marks(data: ChartData, bounds: tuple[float, float], box: Box) -> tuple[Mark, ...]:
    """Return the values at the pane's left edge, as many as have room, and the limits in words."""
    conditions = data.limits.conditions
    step = next(s for s in (5, 10, 20, 40, 100) if (bounds[1] - bounds[0]) / s * 13 <= box.height or s == 100)
    values = np.arange(math.ceil(bounds[0] / step) * step, bounds[1] + 1, step)
    marks = [Mark(y_in(float(value), bounds, box), f"{value:g} °C".replace("-", "−")) for value in values]
    for name, pair in (("surface", conditions.surface_c), ("air", conditions.air_c)):
        for edge, limit in zip(("from", "up to"), pair or (), strict=False):
            if bounds[0] <= limit <= bounds[1]:
                marks.append(Mark(y_in(limit, bounds, box), f"{name} {edge} {limit:g} °C".replace("-", "−"), True))
    return tuple(marks)


def _band(data: ChartData, bounds: tuple[float, float], box: Box, view: View) -> tuple[Points, ...]:
    """Return the difference between the two issues as polygons, one for each run of hours that both have."""
    if data.standing is None:
        return ()
    first, last = view.span(box)
    inside = (data.hours_at >= first) & (data.hours_at <= last)
    at, shown = thinned(data.hours_at[inside], data.series.air_c[inside], int(box.width / _PIXELS_A_POINT))
    other = np.interp(at, data.standing_at, data.standing.air_c, left=np.nan, right=np.nan)
    xs = view.at(at, box).tolist()
    edges = [[y_in(float(value), bounds, box) for value in np.nan_to_num(course)] for course in (shown, other)]
    polygons = []
    for start, finish in runs(np.isfinite(shown) & np.isfinite(other)):
        there, back = (list(zip(xs[start:finish], edge[start:finish], strict=True)) for edge in edges)
        polygons.append((*there, *reversed(back)))
    return tuple(points for points in polygons if len(points) > 2)


def _rain(data: ChartData, box: Box, view: View) -> tuple[Box, ...]:
    if not box.height:
        return ()
    first, last = view.span(box)
    inside = np.flatnonzero((data.hours_at >= first) & (data.hours_at <= last) & (data.series.rain_mm > 0))
    wide = 4 * view.scale.px
    lefts = view.at(data.hours_at[inside], box)
    found = []
    for left, amount in zip(lefts.tolist(), data.series.rain_mm[inside].tolist(), strict=True):
        tall = (box.height - 2) * min(1.0, 0.12 + 0.88 * amount / _RAIN_FULL_MM)
        found.append(Box(left, box.bottom - tall, max(1.0, wide - (1 if wide > 4 else 0)), tall))
    return tuple(found)


def _nights(data: ChartData, box: Box, view: View) -> tuple[tuple[float, float], ...]:
    edges = [0, *(edge for pair in data.daylight for edge in pair), data.time.horizon]
    dark = tuple((a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a)
    return _spans(dark, box, view)


def _spans(spans: tuple[tuple[int, int], ...], box: Box, view: View) -> tuple[tuple[float, float], ...]:
    first, last = view.span(box)
    inside = ((view.x_of(a, box), view.x_of(b, box)) for a, b in spans if b >= first and a <= last)
    return tuple((max(box.x, x0), min(box.right, x1)) for x0, x1 in inside)


def _bars(data: ChartData, frame: ChartFrame, view: View) -> tuple[StripBar, ...]:
    found = []
    for row, box in zip(data.rows, frame.rows, strict=True):
        first, last = view.span(box)
        for visit in row.visits:
            if visit.finish >= first and visit.start <= last:
                x0, x1 = view.x_of(visit.start, box), view.x_of(visit.finish, box)
                left, right = max(x0, box.x - 8), min(max(x1, x0 + _LEAST_BAR_PX), box.right + 8)
                bar = Box(left, box.y + 1.5, max(right - left, 0.0), box.height - 3)
                found.append(StripBar(bar, visit, visit.key in data.broken))
    return tuple(found)


def bar_at(shown: ChartList, x: float, y: float) -> StripBar | None:
    """Return the bar at a point of the viewport, with two pixels' grace at its sides."""
    near = (bar for bar in shown.bars if bar.box.y <= y < bar.box.bottom)
    return next((bar for bar in near if bar.box.x - 2 <= x < bar.box.right + 2), None)
