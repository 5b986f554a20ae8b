"""The members of an ensemble on the job's slot axis, and the temperatures that drive each clock in them."""

from __future__ import annotations

import os
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from planner.model import SurfaceKind
from planner.units import SLOTS_PER_HOUR
from planner.weather.dew import dew_point_c
from planner.weather.ensemble import Ensemble
from planner.weather.job_weather import JobWeather
from planner.weather.members import MemberWeathers
from planner.weather.series import HOUR, Floats
from planner.weather.surroundings import Surroundings

BLOCK = 250
"""Members marched together: few enough that their arrays are taken from memory already at hand."""


@dataclass(frozen=True, eq=False)
class Members:
    """Temperatures of all members at slot boundaries, each of shape (members, H + 1); surfaces worked out once."""

    weathers: MemberWeathers
    _surfaces: dict[SurfaceKind, Floats] = field(default_factory=dict, repr=False)

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

    def surface_c(self, kind: SurfaceKind) -> Floats:
        """Surface temperature [°C] of a kind of element."""
        if kind not in self._surfaces:
            self._surfaces[kind] = _surface_c(self.weathers, kind)
        return self._surfaces[kind]

    def work_out(self, kinds: Iterable[SurfaceKind]) -> None:
        """Work out the surfaces of these kinds side by side, as many at once as the machine has processors."""
        new = [kind for kind in dict.fromkeys(kinds) if kind not in self._surfaces]
        with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
            self._surfaces.update(zip(new, pool.map(partial(_surface_c, self.weathers), new), strict=True))


def _surface_c(weathers: MemberWeathers, kind: SurfaceKind) -> Floats:
    """Return the surface temperature [°C] of a kind of element in all members, block by block."""
    blocks = (slice(first, first + BLOCK) for first in range(0, len(weathers.air_c), BLOCK))
    parts = [replace(weathers, around=_columns(weathers.around, block)).of_kind(kind).surface_c for block in blocks]
    return np.concatenate(parts)


def _columns(around: Surroundings, block: slice) -> Surroundings:
    """Return the surroundings of some members; what all members share stays as it is."""
    names = ("air_c", "dew_c", "cloud_pct", "wind_ms", "night")
    shared = {name: getattr(around, name) for name in names}
    return replace(around, **{name: one[:, block] if one.shape[1] > 1 else one for name, one in shared.items()})


def make_members(weather: JobWeather, ensemble: Ensemble) -> Members:
    """Return the members of `ensemble`, which must cover the job as the series behind `weather` does.

    Between hours values run linearly, as in `make_weather`; all surfaces begin from the nominal weather's first day.
    """
    first = ensemble.members[0]
    begin_h = (weather.time.epoch - first.start) / HOUR
    at_h = np.minimum(begin_h + np.arange(weather.time.horizon + 1) / SLOTS_PER_HOUR, first.hours - 1)
    before = np.minimum(np.floor(at_h + 1e-9).astype(int), max(first.hours - 2, 0))
    share = at_h - before

    def at_slots(name: str) -> Floats:
        values = np.array([getattr(member, name) for member in ensemble.members])
        after = np.minimum(before + 1, first.hours - 1)
        return np.asarray(values[:, before] * (1.0 - share) + values[:, after] * share)

    air_c = at_slots("air_c")
    dew_c = dew_point_c(air_c, at_slots("humidity_pct"))
    found = weather.with_air(air_c, wind_ms=at_slots("wind_ms"), cloud_pct=at_slots("cloud_pct"), dew_c=dew_c)
    return Members(found)
