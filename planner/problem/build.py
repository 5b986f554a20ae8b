"""Job and weather in, integer problem out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from planner.calendars.closures import ClosureWindow, closure_window
from planner.calendars.sun import light_intervals
from planner.cure.arrays import GapArrays, gap_arrays
from planner.model import ClosureState, Element, Gang, GapCurve, Job, Light, Pin
from planner.network.options import NOTHING_CHOSEN, OVERTIME, REMEDY, Chosen, as_chosen, chosen_cost
from planner.network.work import Gap, Operation, Stretch, Work, write_out
from planner.problem import bits
from planner.problem.conditions import SlotSets, slot_sets
from planner.problem.done_gangs import DoneGangs
from planner.problem.gangs import AbleGangs, gang_rule
from planner.problem.issued import Issued, as_done
from planner.problem.kept import Shared, pinned_slots, work_of
from planner.problem.parts import (
    ClosureRule,
    GangRule,
    HoldRule,
    Lag,
    Placed,
    Problem,
    StretchRule,
    Task,
)
from planner.problem.plates import between_plates, fit_under_plates
from planner.problem.recorded_ends import RecordedEnds
from planner.problem.releases import ReleaseTimes, release_times
from planner.problem.requirements import NOTHING, Dropped, Kind, Requirement
from planner.problem.units import make_units
from planner.weather.job_weather import JobWeather


def build_problem(
    job: Job,
    weather: JobWeather,
    dropped: Dropped = NOTHING,
    chosen: Chosen = NOTHING_CHOSEN,
    shared: Shared | None = None,
    issued: Issued | None = None,
    work: Work | None = None,
) -> Problem:
    """Return the integer problem of a checked `job`, done as `chosen` says and without what is in `dropped`.

    issued: what was handed out before, of which the part that has started can't be changed.
    shared: kept from other problems of this job, or of a part of it, in this weather.
    work: the job done so, where it is written out already.
    """
    settled = as_chosen(job, chosen)
    cost = chosen_cost(job, chosen) if chosen else 0.0
    work = work or write_out(settled)
    return _Builder(settled, weather, work, dropped, chosen, cost, shared or Shared(), issued).problem()


def problem_of_work(
    job: Job, weather: JobWeather, work: Work, chosen: Chosen = NOTHING_CHOSEN, issued: Issued | None = None
) -> Problem:
    """Return the integer problem of `work` that is the job's own but for something changed by hand."""
    return _Builder(job, weather, work, NOTHING, chosen, 0.0, Shared(), issued).problem()


@dataclass(frozen=True)
class _Builder:
    job: Job
    weather: JobWeather
    work: Work
    dropped: Dropped
    chosen: Chosen
    chosen_cost: float
    shared: Shared
    issued: Issued | None = None

    def problem(self) -> Problem:
        tasks = tuple(self._task(index, operation) for index, operation in enumerate(self.work.operations))
        lags = tuple(self._orders()) + tuple(self._lag(gap) for gap in self.work.gaps)
        lags = tuple(lag for lag in lags if not self.is_done(self.work.operations[lag.before].key))
        stretches = tuple(
            self._stretch(s)
            for s in self.work.stretches
            if s.plates is None
            and self._keeps(Kind.STRETCH, _name(s))
            and not all(self.is_done(key) for key in s.inside)
        )
        elements = tuple(operation.element for operation in self.work.operations)
        return Problem(
            horizon=self.horizon,
            tasks=tasks,
            lags=lags,
            stretches=stretches,
            holds=tuple(self._holds()),
            gangs=self.gang_rules,
            closures=tuple(self.closures),
            plant_counts=tuple(plant.count for plant in self.job.plant),
            structures=len(self.job.structures),
            units=make_units(elements, [task.structure for task in tasks], lags),
            day_starts=tuple(self.job.time.slot_of(self.job.time.midnight(day)) for day in self.job.time.each_day()),
            prelims_per_day=self.job.job.prelims_per_day,
            vanished=len(self.issued.visits.keys() - self.index_of.keys()) if self.issued else 0,
            chosen_cost=self.chosen_cost,
            moved_cost=self.issued.moved_cost if self.issued else 0.0,
        )

    @cached_property
    def recorded(self) -> RecordedEnds:
        return RecordedEnds(self.job, self.issued)

    @cached_property
    def done_gangs(self) -> DoneGangs | None:
        return DoneGangs(self.job, self.issued) if self.issued is not None else None

    @cached_property
    def gang_rules(self) -> tuple[GangRule, ...]:
        rules = tuple(self._gang(gang) for gang in self.job.gangs)
        return self.done_gangs.with_own(rules) if self.done_gangs is not None else rules

    def is_done(self, key: str) -> bool:
        return self.issued is not None and self.issued.is_done(key)

    def _keeps(self, kind: Kind, subject: str) -> bool:
        return not self.dropped or Requirement(kind, subject) not in self.dropped

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
    def windows(self) -> list[ClosureWindow]:
        if not self.shared.windows:
            open_to_us = (c for c in self.job.closures if c.state is not ClosureState.REFUSED)
            made = (closure_window(closure, self.job.time) for closure in open_to_us)
            usable = [window for window in made if window.work is not None]
            self.shared.windows.extend(sorted(usable, key=work_of))
        return self.shared.windows

    @cached_property
    def closure_numbers(self) -> dict[str, int]:
        return {window.closure.id: number for number, window in enumerate(self.windows)}

    @cached_property
    def closures(self) -> tuple[ClosureRule, ...]:
        return tuple(ClosureRule(w.closure.id, *work_of(w), w.closure.cost) for w in self.windows)

    def closures_for(self, lanes: tuple[str, ...]) -> tuple[int, ...]:
        if lanes not in self._shutting:
            needed = set(lanes)
            found = (index for index, window in enumerate(self.windows) if needed <= set(window.closure.lanes))
            self._shutting[lanes] = tuple(found)
        return self._shutting[lanes]

    @cached_property
    def able(self) -> AbleGangs:
        return AbleGangs(self.job.gangs)

    @cached_property
    def _shutting(self) -> dict[tuple[str, ...], tuple[int, ...]]:
        return {}

    @cached_property
    def element(self) -> Callable[[str], Element]:
        return {element.id: element for element in self.job.elements}.__getitem__

    def light(self, kind: Light) -> int:
        if kind == "any":
            return bits.span(0, self.horizon)
        if kind not in self.shared.light:
            self.shared.light[kind] = bits.of_intervals(light_intervals(self.job.site, self.job.time, kind))
        return self.shared.light[kind]

    def slot_sets_of(self, operation: Operation) -> SlotSets:
        element = self.element(operation.element)
        key = (operation.conditions, (*element.surface_kind, operation.enclosed_c))
        if key not in self.shared.sets:
            surface_c = self.weather.surface_c(element)
            if operation.enclosed_c is not None:
                surface_c = np.full_like(surface_c, operation.enclosed_c)
            self.shared.sets[key] = slot_sets(operation.conditions, self.weather, surface_c)
        return self.shared.sets[key]

    def arrays_of(self, curve: GapCurve, element: Element) -> GapArrays:
        key = (curve, element.surface_kind)
        if key not in self.shared.arrays:
            self.shared.arrays[key] = gap_arrays(curve, self._temperature(curve, element))
        return self.shared.arrays[key]

    def _temperature(self, curve: GapCurve, element: Element) -> NDArray[np.float64]:
        return self.weather.air_c if curve.temperature == "air" else self.weather.surface_c(element)

    @cached_property
    def plated(self) -> dict[str, Stretch]:
        """The plated stretch in which an operation lies, by its key."""
        return {key: stretch for stretch in self.work.stretches if stretch.plates for key in stretch.inside}

    def between_plates(self, stretch: Stretch) -> int:
        windows = [work_of(self.windows[index]) for index in self.closures_for(stretch.lanes)]
        return between_plates(windows, stretch.plates or (0, 0))

    def fit_under_plates(self, stretch: Stretch, key: str) -> int:
        if not self._keeps(Kind.FIT, key):
            return bits.span(0, self.horizon + 1)
        windows = [work_of(self.windows[index]) for index in self.closures_for(stretch.lanes)]
        element = self.element(stretch.element)
        fits = [self.arrays_of(curve, element).opens for layer, curve, _ in stretch.fit if layer == key]
        return fit_under_plates(windows, stretch.plates or (0, 0), fits, self.horizon)

    def release_of(self, key: str) -> ReleaseTimes | None:
        """Return when the hold point before an operation can be released; None where there is nothing to wait for."""
        release = self.work.operations[self.index_of[key]].release
        if release is None or not self._keeps(Kind.RELEASE, key):
            return None
        if release not in self.shared.releases:
            self.shared.releases[release] = release_times(self.job, release)
        return self.shared.releases[release]

    def noticed_starts(self, operation: Operation, issued: Placed | None) -> int:
        """Return the starts for which notice can still be given, or was when the plan was handed out."""
        times = self.release_of(operation.key)
        if times is None:
            return -1
        if self.issued is None:
            return bits.span(times.opens[0], self.horizon + 1)
        as_issued = 0 if issued is None else 1 << issued.start
        return bits.span(times.told_at(self.issued.now), self.horizon + 1) | as_issued

    @cached_property
    def pins(self) -> dict[str, Pin]:
        return {pin.operation: pin for pin in self.job.pins}

    def _task(self, index: int, operation: Operation) -> Task:
        sets = self.slot_sets_of(operation)
        good = bits.span(0, self.horizon)
        if self._keeps(Kind.LIGHT, operation.key):
            good &= self.light(operation.light)
        for kind, mask in sets.work:
            if self._keeps(kind, operation.key):
                good &= mask
        ends = bits.span(0, self.horizon + 1)
        for kind, mask in sets.ends:
            if self._keeps(kind, operation.key):
                ends &= mask
        pin = self.pins.get(operation.key) if self._keeps(Kind.PIN, operation.key) else None
        earliest, latest = pinned_slots(pin, self.job.time)
        in_one = not operation.splittable and self._keeps(Kind.ONE_VISIT, operation.key)
        last = latest + operation.length if in_one and latest is not None else self.horizon
        good &= bits.span(earliest, last)
        plated = self.plated.get(operation.key)
        if plated is not None and self._keeps(Kind.STRETCH, _name(plated)):
            good &= self.between_plates(plated)
            ends &= self.fit_under_plates(plated, operation.key)
        lanes = plated.lanes if plated is not None else operation.lanes
        needs_lanes = bool(lanes) and self._keeps(Kind.CLOSURE, operation.key)
        if self.issued is not None:
            good &= bits.span(self.issued.now, self.horizon)
        issued = self._issued_place(index, operation.key)
        task = Task(
            index=index,
            key=operation.key,
            length=operation.length,
            min_visit=1 if in_one else min(operation.min_visit, operation.length),
            splittable=not in_one,
            gangs=self.able.numbers(operation.skill, None if pin is None else pin.gang),
            structure=self.structure_of[operation.structure],
            plant=self._plant(operation),
            closures=self.closures_for(lanes) if needs_lanes else None,
            good=good,
            ends=ends,
            any_time=not self._keeps(Kind.SHIFT, operation.key),
            alternative=None if self.chosen.get(operation.key) == REMEDY else self.chosen.get(operation.key),
            latest=latest,
            issued=issued,
            starts=self.noticed_starts(operation, issued),
            issued_way=self.issued.way_of(operation.key) if self.issued else None,
        )
        if self.issued is None or task.issued is None or not self.is_done(operation.key):
            return task
        return as_done(task, task.issued, self.gang_rules[task.issued.gang], self.closures, self.issued.now)

    def _plant(self, operation: Operation) -> tuple[int, ...]:
        wanted = dict.fromkeys(operation.plant) if self._keeps(Kind.PLANT, operation.key) else ()
        return tuple(self.plant_of[name] for name in wanted)

    def _issued_place(self, index: int, key: str) -> Placed | None:
        return self.done_gangs.place_of(index, key, self.closure_numbers) if self.done_gangs is not None else None

    def _orders(self) -> Iterable[Lag]:
        for before, after in self.work.follows:
            times = self.release_of(after)
            opens = None if times is None else times.opens
            yield Lag(self.index_of[before], self.index_of[after], False, False, opens, None, f"{before} > {after}")

    def _lag(self, gap: Gap) -> Lag:
        arrays = self.arrays_of(gap.curve, self.element(gap.element))
        opens_at, shuts_at = self.recorded.arrays(gap.after, gap.after_end, (arrays.opens, arrays.shuts))
        opens = gap.curve.not_before is not None and self._keeps(Kind.OPENS, gap.key)
        shuts = gap.curve.not_after is not None and self._keeps(Kind.SHUTS, gap.key)
        times = self.release_of(gap.before) if gap.before_end == "start" else None
        return Lag(
            after=self.index_of[gap.after],
            before=self.index_of[gap.before],
            from_start=gap.after_end == "start",
            to_finish=gap.before_end == "finish",
            opens=(opens_at if times is None else times.after(opens_at)) if opens else None,
            shuts=shuts_at if shuts else None,
            key=gap.key,
        )

    def _stretch(self, stretch: Stretch) -> StretchRule:
        element = self.element(stretch.element)
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
        overtime = self.chosen.get(gang.id) == OVERTIME
        key = (gang, overtime)
        if key not in self.shared.gangs:
            self.shared.gangs[key] = gang_rule(gang, self.job, overtime)
        return self.shared.gangs[key]


def _name(stretch: Stretch) -> str:
    return f"{stretch.element}/{stretch.name}"
