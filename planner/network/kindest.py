"""Gaps at the kindest temperatures of a forecast: what no day of the job can better.

The opening clock runs fastest at the warmest, the shutting clock slowest at the coldest temperature that the forecast
brings. Times between operations found so are bounds on every plan, whatever the day.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from planner.cure.clocks import run_clock
from planner.cure.rates import AT_ONCE_H, Floats, opening_hours, opening_rate, shutting_hours
from planner.model import Element, GapCurve, Job, SurfaceKind
from planner.network.bounds import Bound
from planner.network.work import Gap, Operation, Work
from planner.units import SiteTime, hours_of, slots_down, slots_up

_FULL = 1.0 - 1e-9
_MORE_THAN_FULL = 1.0 + 1e-6


class Temperatures(Protocol):
    """What the network needs to know of the weather: temperatures at the slot boundaries, shape (H + 1,)."""

    @property
    def time(self) -> SiteTime:
        """The job's slot axis."""

    @property
    def air_c(self) -> Floats:
        """Air temperature [°C]."""

    def surface_c(self, element: Element, /) -> Floats:
        """Return the element's surface temperature [°C]."""


@dataclass(frozen=True)
class KindestGap:
    """Slots from a gap's anchor to its opening and shutting at the kindest temperatures.

    opens: None where the gap can't open within the job even from its first slot. shuts: None: never.
    """

    opens: int | None
    shuts: int | None


def kindest_gap(curve: GapCurve, temperature_c: Floats) -> KindestGap:
    """Return the kindest lags of a curve for temperatures [°C] at slot boundaries, shape (H + 1,)."""
    warmest, coldest = float(temperature_c.max()), float(temperature_c.min())
    opens_h = float(opening_hours(curve, warmest))
    shuts_h = float(shutting_hours(curve, coldest))
    return KindestGap(
        opens=_opening_slots(opens_h) if _ever_opens(curve, temperature_c) else None,
        shuts=slots_down(shuts_h) if math.isfinite(shuts_h) else None,
    )


def _ever_opens(curve: GapCurve, temperature_c: Floats) -> bool:
    """Say whether a gap opens within the job from its first slot.

    No clock slows down with warmth, so its clock is run only where the slots above the mean don't fill it alone.
    """
    rate = opening_rate(curve)
    if rate is None:
        return True
    mean = float(temperature_c.mean())
    warm = temperature_c >= mean
    warm_h = hours_of(int(np.count_nonzero(warm[1:] & warm[:-1])))
    surely = float(rate.at(mean)) * warm_h > _MORE_THAN_FULL
    return surely or bool(run_clock(rate, temperature_c)[-1] >= _FULL)


def _opening_slots(hours: float) -> int:
    return 0 if hours <= AT_ONCE_H * 1.001 else slots_up(hours)


class Kindest:
    """The kindest lags of a job's gaps; each curve on each kind of element is worked out once."""

    def __init__(self, job: Job, weather: Temperatures) -> None:
        self._elements = {element.id: element for element in job.elements}
        self._weather = weather
        self._known: dict[tuple[GapCurve, SurfaceKind], KindestGap] = {}

    def lags(self, curve: GapCurve, element: str) -> KindestGap:
        """Return the kindest lags of `curve` on the element called `element`."""
        there = self._elements[element]
        key = (curve, there.surface_kind)
        if key not in self._known:
            on_air = curve.temperature == "air"
            self._known[key] = kindest_gap(curve, self._weather.air_c if on_air else self._weather.surface_c(there))
        return self._known[key]

    def range_c(self) -> tuple[float, float]:
        """Return the coldest and the warmest temperature [°C] of the air and of every element's surface."""
        of_each_kind = {there.surface_kind: there for there in self._elements.values()}
        courses = [self._weather.air_c, *(self._weather.surface_c(there) for there in of_each_kind.values())]
        return min(float(course.min()) for course in courses), max(float(course.max()) for course in courses)


def job_bounds(work: Work, kindest: Kindest) -> tuple[Bound, ...]:
    """Return all bounds between starts and finishes: lengths, order, and gaps at their kindest.

    An operation that may be broken off has no greatest length. A gap that can't open counts as open at once:
    that is a finding of its own.
    """
    return (
        *(_length(operation) for operation in work.operations),
        *(_follow(before, after) for before, after in work.follows),
        *_gaps(work, kindest),
    )


def _length(operation: Operation) -> Bound:
    return Bound(
        (operation.key, "start"),
        (operation.key, "finish"),
        operation.length,
        None if operation.splittable else operation.length,
        f"{operation.key} takes {hours_of(operation.length):g} h",
    )


def _follow(before: str, after: str) -> Bound:
    return Bound((before, "finish"), (after, "start"), 0, None, f"{after} follows {before}")


def _gaps(work: Work, kindest: Kindest) -> Iterator[Bound]:
    for gap in work.gaps:
        lags = kindest.lags(gap.curve, gap.element)
        yield Bound(
            (gap.after, gap.after_end),
            (gap.before, gap.before_end),
            lags.opens or 0,
            lags.shuts,
            f"{_named(gap)} not before {hours_of(lags.opens or 0):g} h",
            f"{_named(gap)} not after {hours_of(lags.shuts or 0):g} h",
            gap=True,
        )


def _named(gap: Gap) -> str:
    ends = (gap.after_end, gap.before_end)
    return f"gap {gap.key}" if ends == ("finish", "start") else f"gap {gap.key} ({ends[0]} to {ends[1]})"
