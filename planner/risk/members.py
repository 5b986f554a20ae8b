"""The members of an ensemble on the job's slot axis, and the temperatures that drive each clock in them."""

from __future__ import annotations

import os
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

import numpy as np

from planner.errors import ForecastError
from planner.model import SurfaceKind
from planner.units import SLOTS_PER_HOUR
from planner.weather.dew import dew_point_c
from planner.weather.ensemble import Ensemble
from planner.weather.job_weather import JobWeather, lacking
from planner.weather.members import MemberWeathers
from planner.weather.series import HOUR, Floats, Singles
from planner.weather.sunshine import SunCourse
from planner.weather.surroundings import Surroundings

BLOCK = 250
"""Members marched together: few enough that their arrays are taken from memory already at hand."""


@dataclass(frozen=True, eq=False)
class Members:
    """Temperatures of all members at slot boundaries, each of shape (members, H + 1); surfaces worked out once."""

    weathers: MemberWeathers
    _surfaces: dict[SurfaceKind, Singles] = field(default_factory=dict, repr=False)

    @property
    def count(self) -> int:
        """Number of members."""
        return len(self.air_c)

    @property
    def horizon(self) -> int:
        """Number of slots of the job."""
        return int(self.air_c.shape[1]) - 1

    @property
    def air_c(self) -> Floats:
        """Air temperature [°C]."""
        return self.weathers.air_c

    def surface_c(self, kind: SurfaceKind) -> Singles:
        """Surface temperature [°C] of a kind of element."""
        self.work_out([kind])
        return self._surfaces[kind]

    def work_out(self, kinds: Iterable[SurfaceKind]) -> None:
        """Work out the surfaces of these kinds, blocks of members side by side on the machine's processors."""
        new = tuple(kind for kind in dict.fromkeys(kinds) if kind not in self._surfaces)
        if not new:
            return
        blocks = [slice(first, first + BLOCK) for first in range(0, self.count, BLOCK)]
        with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
            parts = tuple(pool.map(partial(_surfaces, self.weathers, new), blocks))
        for number, kind in enumerate(new):
            self._surfaces[kind] = np.concatenate([part[number] for part in parts])


def _surfaces(weathers: MemberWeathers, kinds: tuple[SurfaceKind, ...], block: slice) -> tuple[Singles, ...]:
    """Return the surface temperatures [°C] of kinds of element in some members; what surrounds them is made once."""
    here = replace(weathers, around=_columns(weathers.around, block))
    return tuple(here.surface_of_kind(kind) for kind in kinds)


def _columns(around: Surroundings, block: slice) -> Surroundings:
    """Return the surroundings of some members in single precision; what all members share stays shared."""
    names = ("air_c", "dew_c", "cloud_pct", "wind_ms", "night")
    columns: dict[str, Any] = {name: getattr(around, name) for name in names}
    for name, one in columns.items():
        columns[name] = (one[:, block] if one.shape[1] > 1 else one).astype(np.float32)
    return replace(around, **columns, sun=_single(around.sun))


def _single(sun: SunCourse | None) -> Any:
    """Return the sun's course in single precision."""
    if sun is None:
        return None
    parts: Any = (one.astype(np.float32) for one in (sun.east, sun.north, sun.up))
    return SunCourse(*parts)


def make_members(weather: JobWeather, ensemble: Ensemble) -> Members:
    """Return the members of `ensemble`; ForecastError where one of them does not cover the job.

    Between hours values run linearly, as in `make_weather`; all surfaces begin from the nominal weather's first day.
    """
    faults = next((found for found in (lacking(weather.time, one) for one in ensemble.members) if found), [])
    first = ensemble.members[0]
    if faults:
        raise ForecastError(first.source or "the ensemble", faults)
    begin_h = (weather.time.epoch - first.start) / HOUR
    at_h = np.minimum(begin_h + np.arange(weather.time.horizon + 1) / SLOTS_PER_HOUR, first.hours - 1)
    before = np.minimum(np.floor(at_h + 1e-9).astype(int), max(first.hours - 2, 0))
    share = at_h - before

    def at_slots(name: str) -> Floats:
        """Return values of shape (members, H + 1), laid out in memory as they are marched: boundary by boundary."""
        values = np.stack([getattr(member, name) for member in ensemble.members], axis=1)
        found: Floats = np.diff(values, axis=0, append=values[-1:])[before]
        found *= share[:, None]
        found += values[before]
        return found.T

    air_c = at_slots("air_c")
    dew_c = dew_point_c(air_c, at_slots("humidity_pct"))
    found = weather.with_air(air_c, wind_ms=at_slots("wind_ms"), cloud_pct=at_slots("cloud_pct"), dew_c=dew_c)
    return Members(found)
