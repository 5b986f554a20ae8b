"""Job and weather in, integer problem out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.calendars.closures import ClosureWindow, closure_window
from planner.calendars.shifts import shift_times
from planner.calendars.sun import light_intervals
from planner.cure.arrays import GapArrays, gap_arrays
from planner.model import ClosureState, Conditions, Element, Gang, GapCurve, Job, SurfaceKind
from planner.network.work import Gap, Operation, Stretch, Work, write_out
from planner.problem import bits
from planner.problem.conditions import SlotSets, slot_sets
from planner.problem.parts import (
    ClosureRule,
    GangRule,
    HoldRule,
    Lag,
    Problem,
    StretchRule,
    Task,
)
from planner.problem.requirements import NOTHING, Dropped, Kind, Requirement
from planner.problem.units import make_units
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather


def build_problem(job: Job, weather: JobWeather, dropped: Dropped = NOTHING) -> Problem:
    """Return the integer problem of a checked `job`, without the requirements in `dropped`."""
    return _Builder(job, weather, write_out(job), dropped).problem()


@dataclass(frozen=True)
class _Builder:
    job: Job
    weather: JobWeather
    work: Work
    dropped: Dropped

    def problem(self) -> Problem:
        tasks = tuple(self._task(index, operation) for index, operation in enumerate(self.work.operations))
        lags = tuple(self._orders()) + tuple(self._lag(gap) for gap in self.work.gaps)
        stretches = tuple(self._stretch(s) for s in self.work.stretches if self._keeps(Kind.STRETCH, _name(s)))
        elements = tuple(operation.element for operation in self.work.operations)
        return Problem(
            horizon=self.horizon,
            tasks=tasks,
            lags=lags,
            stretches=stretches,
            holds=tuple(self._holds()),
            gangs=tuple(self._gang(gang) for gang in self.job.gangs),
            closures=tuple(self.closures),
            plant_counts=tuple(plant.count for plant in self.job.plant),
            structures=len(self.job.structures),
            units=make_units(elements, [task.structure for task in tasks], lags),
            day_starts=tuple(self.job.time.slot_of(self.job.time.midnight(day)) for day in self.job.time.each_day()),
            prelims_per_day=self.job.job.prelims_per_day,
        )

    def _keeps(self, kind: Kind, subject: str) -> bool:
        return Requirement(kind, subject) not in self.dropped

    @cached_property
    def horizon(self) -> int:
        return self.job.time.horizon

    @cached_property
    def index_of(self) -> dict[str, int]:
        return {operation.key: index for index, operation in enumerate(self.work.operations)}

    @cached_property
    def structure_of(self) -> dict[str, int]:
        return {structure.id: index for index, structure in enumerate(self.job.structures)}

    @cached_property
    def plant_of(self) -> dict[str, int]:
        return {plant.id: index for index, plant in enumerate(self.job.plant)}

    @cached_property
    def windows(self) -> tuple[ClosureWindow, ...]:
        open_to_us = (c for c in self.job.closures if c.state is not ClosureState.REFUSED)
        made = (closure_window(closure, self.job.time) for closure in open_to_us)
        usable = [window for window in made if window.work is not None]
        return tuple(sorted(usable, key=lambda window: _work_of(window)))

    @cached_property
    def closures(self) -> tuple[ClosureRule, ...]:
        return tuple(ClosureRule(w.closure.id, *_work_of(w), w.closure.cost) for w in self.windows)

    def closures_for(self, lanes: Iterable[str]) -> tuple[int, ...]:
        needed = set(lanes)
        return tuple(i for i, window in enumerate(self.windows) if needed <= set(window.closure.lanes))

    @cached_property
    def light(self) -> dict[str, int]:
        whole_day = bits.span(0, self.horizon)
        sun = {
            kind: bits.of_intervals(light_intervals(self.job.site, self.job.time, kind))
            for kind in ("daylight", "twilight")
        }
        return {"any": whole_day, **sun}

    @cached_property
    def _sets(self) -> dict[tuple[Conditions, SurfaceKind], SlotSets]:
        return {}

    @cached_property
    def _arrays(self) -> dict[tuple[GapCurve, SurfaceKind], GapArrays]:
        return {}

    def slot_sets_of(self, operation: Operation) -> SlotSets:
        element = self.job.element(operation.element)
        key = (operation.conditions, element.surface_kind)
        if key not in self._sets:
            self._sets[key] = slot_sets(operation.conditions, self.weather, self.weather.surface_c(element))
        return self._sets[key]

    def arrays_of(self, curve: GapCurve, element: Element) -> GapArrays:
        key = (curve, element.surface_kind)
        if key not in self._arrays:
            self._arrays[key] = gap_arrays(curve, self._temperature(curve, element))
        return self._arrays[key]

    def _temperature(self, curve: GapCurve, element: Element) -> NDArray[np.float64]:
        return self.weather.air_c if curve.temperature == "air" else self.weather.surface_c(element)

    def _task(self, index: int, operation: Operation) -> Task:
        sets = self.slot_sets_of(operation)
        good = bits.span(0, self.horizon)
        if self._keeps(Kind.LIGHT, operation.key):
            good &= self.light[operation.light]
        for kind, mask in sets.work:
            if self._keeps(kind, operation.key):
                good &= mask
        ends = bits.span(0, self.horizon + 1)
        for kind, mask in sets.ends:
            if self._keeps(kind, operation.key):
                ends &= mask
        in_one = not operation.splittable and self._keeps(Kind.ONE_VISIT, operation.key)
        needs_lanes = bool(operation.lanes) and self._keeps(Kind.CLOSURE, operation.key)
        return Task(
            index=index,
            key=operation.key,
            length=operation.length,
            min_visit=operation.min_visit if operation.splittable else 1,
            splittable=not in_one,
            gangs=tuple(i for i, gang in enumerate(self.job.gangs) if operation.skill in gang.skills),
            structure=self.structure_of[operation.structure],
            plant=tuple(self.plant_of[name] for name in dict.fromkeys(operation.plant)),
            closures=self.closures_for(operation.lanes) if needs_lanes else None,
            good=good,
            ends=ends,
            any_time=not self._keeps(Kind.SHIFT, operation.key),
        )

    def _orders(self) -> Iterable[Lag]:
        for before, after in self.work.follows:
            yield Lag(self.index_of[before], self.index_of[after], False, False, None, None, f"{before} > {after}")

    def _lag(self, gap: Gap) -> Lag:
        arrays = self.arrays_of(gap.curve, self.job.element(gap.element))
        opens = gap.curve.not_before is not None and self._keeps(Kind.OPENS, gap.key)
        shuts = gap.curve.not_after is not None and self._keeps(Kind.SHUTS, gap.key)
        return Lag(
            after=self.index_of[gap.after],
            before=self.index_of[gap.before],
            from_start=gap.after_end == "start",
            to_finish=gap.before_end == "finish",
            opens=arrays.opens if opens else None,
            shuts=arrays.shuts if shuts else None,
            key=gap.key,
        )

    def _stretch(self, stretch: Stretch) -> StretchRule:
        element = self.job.element(stretch.element)
        fits = tuple(
            (self.index_of[key], self.arrays_of(curve, element).opens)
            for key, curve, _ in stretch.fit
            if self._keeps(Kind.FIT, key)
        )
        members = tuple(self.index_of[key] for key in stretch.inside)
        return StretchRule(_name(stretch), members, self.closures_for(stretch.lanes), fits)

    def _holds(self) -> Iterable[HoldRule]:
        for hold in self.work.holds:
            if self._keeps(Kind.PLANT, hold.first):
                yield HoldRule(self.plant_of[hold.plant], self.index_of[hold.first], self.index_of[hold.last])

    def _gang(self, gang: Gang) -> GangRule:
        times = shift_times(gang, self.job)
        spans = tuple((shift.interval.start, shift.interval.finish) for shift in times)
        starts = 0
        for start, _ in spans:
            starts |= 1 << start
        shifts = bits.of_intervals(shift.interval for shift in times)
        return GangRule(gang.id, shifts, starts, -(-gang.move_min // SLOT_MINUTES), gang.cost_per_shift, spans)


def _name(stretch: Stretch) -> str:
    return f"{stretch.element}/{stretch.name}"


def _work_of(window: ClosureWindow) -> tuple[int, int]:
    if window.work is None:
        raise ValueError(f"closure {window.closure.id} has no time left between set-out and clear")
    return window.work.start, window.work.finish
