"""What a damage is done to, and what is left of it: a job, its weather and a plan, with the means to change them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random
from typing import Any, TypeVar

from planner.calendars.closures import closure_window
from planner.calendars.shifts import shift_times
from planner.calendars.sun import light_intervals
from planner.cure.arrays import GapArrays, gap_arrays
from planner.intervals import Interval
from planner.model import GapCurve, Job, Placement, Plan
from planner.network.work import Operation, Work, write_out
from planner.units import Slot
from planner.weather.job_weather import JobWeather

_T = TypeVar("_T")


@dataclass(frozen=True, eq=False)
class Scene:
    """A job, its weather and a plan of it in which nothing is broken."""

    job: Job
    weather: JobWeather
    plan: Plan

    @cached_property
    def work(self) -> Work:
        return write_out(self.job)

    @cached_property
    def operations(self) -> dict[str, Operation]:
        return {operation.key: operation for operation in self.work.operations}

    @cached_property
    def horizon(self) -> int:
        return self.job.time.horizon

    @cached_property
    def shifts(self) -> dict[str, tuple[Interval, ...]]:
        return {gang.id: tuple(one.interval for one in shift_times(gang, self.job)) for gang in self.job.gangs}

    @cached_property
    def windows(self) -> dict[str, Interval]:
        """The work windows of the closures that have one."""
        made = [closure_window(closure, self.job.time) for closure in self.job.closures]
        return {window.closure.id: window.work for window in made if window.work is not None}

    def arrays(self, curve: GapCurve, element: str) -> GapArrays:
        surface = self.weather.surface_c(self.job.element(element))
        return gap_arrays(curve, self.weather.air_c if curve.temperature == "air" else surface)

    def dark(self, light: str) -> list[int]:
        """Return the slots that are not wholly in `light`."""
        lit = light_intervals(self.job.site, self.job.time, light)  # type: ignore[arg-type]
        return [slot for slot in range(self.horizon) if not any(one.start <= slot < one.finish for one in lit)]

    def visits(self, operation: str) -> tuple[Placement, ...]:
        return self.plan.visits_of(operation)

    def end(self, operation: str, which: str) -> int:
        visits = self.visits(operation)
        return visits[0].start if which == "start" else visits[-1].finish

    def placed(self, draw: Random) -> Iterator[tuple[Operation, tuple[Placement, ...]]]:
        """Yield every operation with its visits, in an order drawn anew each time."""
        for operation in shuffled(self.work.operations, draw):
            yield operation, self.visits(operation.key)


@dataclass(frozen=True, eq=False)
class Damaged:
    """A damaged copy: the code that the audit must find, and the operation at which (None: anywhere)."""

    code: str
    place: str | None
    scene: Scene


Damage = Callable[[Scene, Random], Damaged | None]
"""Does one kind of damage to a clean scene; None where the scene offers no target for it."""


def shuffled(parts: Any, draw: Random) -> list[Any]:
    """Return the parts in an order drawn by lot."""
    return draw.sample(list(parts), len(parts))


def with_visits(scene: Scene, operation: str, *visits: Placement) -> Scene:
    """Return the scene with other visits of an operation, numbered anew in order of time."""
    others = [placed for placed in scene.plan.placements if placed.operation != operation]
    numbered = [replace(one, visit=number) for number, one in enumerate(sorted(visits, key=lambda v: v.start), 1)]
    return replace(scene, plan=replace(scene.plan, placements=(*others, *numbered)))


def changed(scene: Scene, operation: str, **changes: Any) -> Scene:
    """Return the scene with fields of all visits of an operation changed."""
    return with_visits(scene, operation, *(replace(visit, **changes) for visit in scene.visits(operation)))


def moved(scene: Scene, operation: str, start: int, **changes: Any) -> Scene:
    """Return the scene with an operation moved as a whole so that it starts at slot `start`."""
    visits = scene.visits(operation)
    by = start - visits[0].start
    return with_visits(scene, operation, *(slid(visit, by, **changes) for visit in visits))


def slid(visit: Placement, by: int, **changes: Any) -> Placement:
    """Return a visit moved later by so many slots."""
    return replace(visit, start=Slot(visit.start + by), finish=Slot(visit.finish + by), **changes)
