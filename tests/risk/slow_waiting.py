"""The gang that waits, stated a second time: one member at a time, trying one quarter-hour after another.

It shares with `planner.risk` what a job's work is (its gaps, stretches and lanes), and none of its clocks, rooms or
vectors: gaps open and shut by the exact arrays of `planner.cure`, and work lies where a set of slots says so. No
closure is let pass here.
"""

from __future__ import annotations

from collections.abc import Iterable

from planner.calendars.closures import closure_window
from planner.calendars.shifts import shift_times
from planner.cure.arrays import GapArrays, gap_arrays
from planner.model import ClosureState, GapCurve, Placement
from planner.risk.mending import mending_of
from planner.risk.scene import Scene
from planner.weather.job_weather import JobWeather

Span = tuple[int, int]


class SlowGangs:
    """All gangs of a job working `scene`'s plan in one weather."""

    def __init__(self, scene: Scene, weather: JobWeather) -> None:
        self.scene, self.job, self.weather = scene, scene.job, weather
        self.never = self.job.time.horizon + 1
        self.begun: dict[tuple[str, int], int] = {}
        self.doing: dict[str, list[tuple[int, int, str]]] = {gang.id: [] for gang in self.job.gangs}
        self._spans: dict[tuple[str, int], list[Span]] = {}
        self._arrays: dict[object, GapArrays] = {}

    def work(self) -> dict[tuple[str, int], int]:
        """Return the start of every visit; horizon + 1 for "not in the job"."""
        order = sorted(self.scene.plan.placements, key=lambda one: (one.start, one.finish, one.operation))
        for visit in order:
            start = self._first(visit, self._ready(visit))
            for gap in self.scene.gaps_to.get(visit.operation, ()):
                mending = mending_of(self.job, gap)
                if mending is None or visit is not self.scene.visits[visit.operation][0] or start == self.never:
                    continue
                if start > self._gap(gap.curve, gap.element).shuts[self._end(gap.after, gap.after_end)]:
                    from_slot = next(
                        (s for s in range(start, self.never) if self._has_gang(visit, s, mending.slots)), self.never
                    )
                    done = min(from_slot + mending.slots, self.never)
                    self.doing[visit.gang].append((from_slot, done, self._structure(visit)))
                    if mending.curve is not None and done < self.never:
                        done = self._gap(mending.curve, gap.element).opens[done]
                    start = self._first(visit, done)
            self.begun[visit.operation, visit.visit] = start
            if start < self.never:
                self.doing[visit.gang].append((start, start + visit.finish - visit.start, self._structure(visit)))
        return self.begun

    def _ready(self, visit: Placement) -> int:
        scene, key = self.scene, visit.operation
        visits = scene.visits[key]
        place = visits.index(visit)
        waits: list[int] = [visit.start]
        if place:
            waits.append(self._finish(visits[place - 1]))
        else:
            waits += [self._end(before, "finish") for before in scene.forerunners.get(key, ())]
        for gap in scene.gaps_to.get(key, ()):
            ends_it = gap.before_end == "finish"
            known = all((one.operation, one.visit) in self.begun for one in scene.visits[gap.after])
            if known and place == (len(visits) - 1 if ends_it else 0):
                anchor = self._end(gap.after, gap.after_end)
                opens = self._gap(gap.curve, gap.element).opens[anchor] if anchor < self.never else self.never
                waits.append(opens - (visit.finish - visit.start) * ends_it if opens < self.never else opens)
        return min(max(waits), self.never)

    def _first(self, visit: Placement, ready: int) -> int:
        """Return the first slot from `ready` on at which a visit can begin."""
        length, stretch = visit.finish - visit.start, self.scene.stretch_of.get(visit.operation)
        if stretch is None or stretch.plates is not None:
            lift, lay = (0, 0) if stretch is None or stretch.plates is None else stretch.plates
            lanes = self.scene.lanes.get(visit.operation) or frozenset()
            if visit.closure is not None:
                lanes = lanes or frozenset(self.job.closure(visit.closure).lanes)
                spans = [(start + lift, finish - lay) for _, (start, finish) in self._closures(lanes)]
                return self._at(visit, ready, length, spans)
            return self._at(visit, ready, length, None)
        inside = [v for key in stretch.inside for v in self.scene.visits.get(key, ())]
        if visit is not min(inside, key=lambda one: (one.start, one.finish, one.operation)):
            return self._at(visit, ready, length, None)
        span = max(one.finish for one in inside) - visit.start
        found = []
        for id, (start, finish) in self._closures(frozenset(stretch.lanes)):
            there = self._at(visit, ready, length, [(start, finish - span + length)])
            found.append((there, id != visit.closure))
        return min(found, default=(self.never, False))[0]

    def _at(self, visit: Placement, ready: int, length: int, spans: list[Span] | None) -> int:
        for slot in range(ready, self.never):
            in_closure = spans is None or any(a <= slot and slot + length <= b for a, b in spans)
            if in_closure and self._has_gang(visit, slot, length):
                return slot
        return self.never

    def _has_gang(self, visit: Placement, slot: int, length: int) -> bool:
        gang, here = self.job.gang(visit.gang), self._structure(visit)
        move = -(-gang.move_min // 15)
        for start, finish, where in self.doing[visit.gang]:
            apart = 0 if where == here else move
            if start < self.never and slot < min(finish + apart, self.never) and start < slot + length + apart:
                return False
        return any(a <= slot and slot + length <= b for a, b in self._shifts(visit))

    def _shifts(self, visit: Placement) -> list[Span]:
        key = visit.operation, visit.visit
        if key not in self._spans:
            times = shift_times(self.job.gang(visit.gang), self.job)
            paid = any(one.interval.start <= visit.start and visit.finish <= one.interval.finish for one in times)
            spans = [one.interval if paid else one.with_overtime for one in times]
            self._spans[key] = [(span.start, span.finish) for span in spans]
        return self._spans[key]

    def _closures(self, lanes: frozenset[str]) -> Iterable[tuple[str, Span]]:
        found = []
        for closure in self.job.closures:
            work = closure_window(closure, self.job.time).work
            if work is not None and closure.state is not ClosureState.REFUSED and lanes <= set(closure.lanes):
                found.append((closure.id, (work.start, work.finish)))
        return sorted(found, key=lambda one: one[1])

    def _gap(self, curve: GapCurve, element_id: str) -> GapArrays:
        element = self.job.element(element_id)
        key = (repr(curve), element.surface_kind)
        if key not in self._arrays:
            air = curve.temperature == "air"
            self._arrays[key] = gap_arrays(curve, self.weather.air_c if air else self.weather.surface_c(element))
        return self._arrays[key]

    def _finish(self, visit: Placement) -> int:
        return min(self.begun[visit.operation, visit.visit] + visit.finish - visit.start, self.never)

    def _end(self, key: str, which: str) -> int:
        visits = self.scene.visits[key]
        if which == "start":
            return self.begun[key, visits[0].visit]
        return max(self._finish(one) for one in visits)

    def _structure(self, visit: Placement) -> str:
        return self.job.element(visit.operation.partition("/")[0]).structure
