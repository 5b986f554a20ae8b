"""What the weather chart shows, in slots and numbers: no pixels, no colours, no Qt."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.board.facts import Facts, Visit
from app.board.ribbons import WET_MM_H, runs
from planner.model import Conditions
from planner.units import SLOT, SiteTime
from planner.weather.dew import dew_point_c
from planner.weather.series import HourlySeries

_NONE = Conditions()


@dataclass(frozen=True)
class StripRow:
    """The visits of one gang, which never overlap. number, initial: as on the board."""

    name: str
    initial: str
    number: int
    visits: tuple[Visit, ...]


@dataclass(frozen=True)
class ChosenLimits:
    """The conditions of an operation or product whose limits are drawn. element: whose surface is meant."""

    words: str = ""
    conditions: Conditions = _NONE
    element: str | None = None


@dataclass(frozen=True, eq=False)
class ChartData:
    """All that is drawn. hours_at: slot of each hour of `series`; standing_at: of `standing`, the plan's forecast.

    standing: None where it is the series shown. surfaces: name and temperature [°C] at slot boundaries by group;
    main: which of them is drawn strongest. surfaces_stale: they are of an earlier state of the series.
    broken: keys of the operations that break.
    """

    time: SiteTime
    series: HourlySeries
    hours_at: np.ndarray
    dew_c: np.ndarray
    standing: HourlySeries | None
    standing_at: np.ndarray
    surfaces: tuple[tuple[str, np.ndarray], ...]
    main: int
    rows: tuple[StripRow, ...]
    daylight: tuple[tuple[int, int], ...]
    limits: ChosenLimits = ChosenLimits()
    broken: frozenset[str] = frozenset()
    surfaces_stale: bool = False

    @property
    def main_surface(self) -> np.ndarray | None:
        """The surface that limits are held against."""
        return self.surfaces[self.main][1] if self.surfaces else None


def hour_slots(series: HourlySeries, time: SiteTime) -> np.ndarray:
    """Return the slot of each hour of a series (fractions and negative ones allowed)."""
    return (series.start - time.epoch) / SLOT + 4.0 * np.arange(series.hours)


def dew_at_hours(series: HourlySeries) -> np.ndarray:
    """Return the dew point [°C] at each hour."""
    return dew_point_c(series.air_c, series.humidity_pct)


def strip_rows(facts: Facts) -> tuple[StripRow, ...]:
    """Return the visits by gang; gangs without work left out."""
    visits: dict[int, list[Visit]] = {gang.number: [] for gang in facts.gangs}
    for group in facts.rows:
        for row in group.children:
            for visit in row.visits:
                visits[visit.gang].append(visit)
    for some in visits.values():
        some.sort(key=lambda visit: visit.start)
    rows = [StripRow(gang.name, gang.initial, gang.number, tuple(visits[gang.number])) for gang in facts.gangs]
    return tuple(row for row in rows if row.visits)


def met_spans(data: ChartData) -> tuple[tuple[int, int], ...]:
    """Return the slots in which the chosen limits hold, as far as weather goes (both ends of each slot)."""
    horizon = data.time.horizon
    at = np.arange(horizon + 1)
    conditions, surface = data.limits.conditions, data.main_surface
    air, dew, wind, humidity = (
        np.interp(at, data.hours_at, values)
        for values in (data.series.air_c, data.dew_c, data.series.wind_ms, data.series.humidity_pct)
    )
    holds = np.isfinite(air)
    if conditions.air_c:
        holds &= (air >= conditions.air_c[0]) & (air <= conditions.air_c[1])
    if conditions.surface_c and surface is not None:
        holds &= (surface >= conditions.surface_c[0]) & (surface <= conditions.surface_c[1])
    if conditions.dew_margin_c is not None and surface is not None:
        holds &= surface >= dew + conditions.dew_margin_c
    if conditions.wind_max_ms is not None:
        holds &= wind <= conditions.wind_max_ms
    if conditions.humidity_max_pct is not None:
        holds &= humidity <= conditions.humidity_max_pct
    slots = holds[:-1] & holds[1:]
    if conditions.dry:
        slots &= _rain_at(data, at[:-1]) < WET_MM_H
    return runs(slots)


def has_limits(limits: ChosenLimits) -> bool:
    """Say whether the weather limits the chosen work at all while it goes on."""
    one = limits.conditions
    stated = (one.air_c, one.surface_c, one.dew_margin_c, one.wind_max_ms, one.humidity_max_pct)
    return any(value is not None for value in stated) or bool(one.dry)


def _rain_at(data: ChartData, slots: np.ndarray) -> np.ndarray:
    """Return the rain [mm/h] in each slot; none is known outside the series."""
    index = np.floor((slots - data.hours_at[0]) / 4.0 + 1e-9).astype(int)
    inside = (index >= 0) & (index < data.series.hours)
    return np.where(inside, np.nan_to_num(data.series.rain_mm)[np.clip(index, 0, data.series.hours - 1)], 0.0)
