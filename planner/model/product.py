"""Products and their data-sheet curves: hours against temperature, between one layer and the next."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from planner.model.base import Amount, Celsius, Hours, Identifier, Name, Part, Percent, Text, as_tuple
from planner.model.strength import Development, Strength
from planner.model.supply import Supply

Point = Annotated[tuple[Celsius, Hours], as_tuple()]


def _check_points(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Refuse a curve that a data sheet could not mean: unsorted, not positive, or slower when warmer."""
    if not points:
        raise ValueError("a curve needs at least one [temperature, hours] point")
    for (cold, cold_hours), (warm, warm_hours) in pairwise(points):
        if warm <= cold:
            raise ValueError(f"temperatures must rise along a curve, but {warm:g} follows {cold:g}")
        if warm_hours > cold_hours:
            raise ValueError(
                f"hours must not rise with temperature, but {warm:g} °C has {warm_hours:g} h "
                f"after {cold:g} °C with {cold_hours:g} h"
            )
    if any(hours <= 0 for _, hours in points):
        raise ValueError("hours on a curve must be more than 0")
    return points


Points = Annotated[tuple[Point, ...], as_tuple(), AfterValidator(_check_points)]
"""Curve points ((°C, h), …), temperatures rising, hours not rising."""

Medium = Literal["surface", "air"]


class GapCurve(Part):
    """The gap between two layers as the data sheet gives it: it opens and it shuts.

    not_before: hours until the next layer may go on, against temperature.
    not_after: hours by which it must have gone on; none if it never shuts.
    stalls_below_c: the temperature [°C] below which the opening clock stands still, where lower than the
        first point of `not_before`; the first slope of the curve continues down to it.
    temperature: which temperature drives the clocks, the element's surface or the air.
    """

    not_before: Points | None = None
    not_after: Points | None = None
    stalls_below_c: Celsius | None = None
    temperature: Medium = "surface"

    @model_validator(mode="after")
    def _has_an_end(self) -> Self:
        if self.not_before is None and self.not_after is None:
            raise ValueError("a gap needs not_before or not_after, or both")
        if self.stalls_below_c is not None and self.not_before is None:
            raise ValueError("stalls_below_c slows the opening clock, so it needs not_before")
        if self.stalls_below_c is not None and self.not_before is not None:
            first = self.not_before[0][0]
            if self.stalls_below_c > first:
                raise ValueError(f"stalls_below_c must not lie above the first point of not_before ({first:g} °C)")
        return self


class Conditions(Part):
    """Weather in which work may go on; what a field leaves out is not limited.

    surface_c, air_c: lowest and highest temperature [°C] while work goes on.
    humidity_max_pct: highest relative humidity of the air [%].
    wind_max_ms: highest mean wind [m/s].
    dew_margin_c: the surface must be warmer than the dew point by this much [K].
    dry: no rain while work goes on.
    rain_free_h: no rain for so long after the finish [h].
    protect_h: for so long after the finish [h] the surface stays above `protect_min_c` (or, where that is
        not given, inside `surface_c`), and the dew point margin holds.
    protect_min_c: lowest surface temperature [°C] in the protected time.
    """

    surface_c: Annotated[tuple[Celsius, Celsius], as_tuple()] | None = None
    air_c: Annotated[tuple[Celsius, Celsius], as_tuple()] | None = None
    humidity_max_pct: Percent | None = None
    wind_max_ms: Amount | None = None
    dew_margin_c: Amount | None = None
    dry: bool | None = None
    rain_free_h: Hours | None = None
    protect_h: Hours | None = None
    protect_min_c: Celsius | None = None

    @model_validator(mode="after")
    def _ranges_rise(self) -> Self:
        for name in ("surface_c", "air_c"):
            limits = getattr(self, name)
            if limits is not None and limits[0] >= limits[1]:
                raise ValueError(f"{name} is [lowest, highest], but {limits[0]:g} is not below {limits[1]:g}")
        if self.protect_min_c is not None and self.protect_h is None:
            raise ValueError("protect_min_c needs protect_h: for how long?")
        return self

    def over(self, base: Conditions) -> Conditions:
        """Return these conditions, with what they leave out taken from `base`."""
        stated = {name: value for name, value in self if value is not None}
        return base.model_copy(update=stated)


class Product(Part):
    """A material with its data-sheet curves by name, and the conditions in which it may be placed.

    strength: how it hardens, for strength gates and for frost. development: how fast, for minimum curing periods;
    left out, it follows from `strength`. supply: packs, yield and pot life, for mixing and loading.
    """

    id: Identifier
    name: Name
    sheet: Text = ""
    """Where the numbers come from."""
    conditions: Conditions = Conditions()
    curves: dict[Identifier, GapCurve] = Field(default_factory=dict)
    strength: Strength | None = None
    development: Development | None = None
    supply: Supply | None = None
