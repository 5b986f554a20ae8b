"""The last moment at which a break can be met: until then something that would mend it has not begun.

- An operation that can go on later, by its gang or another of its skill, or in another way, or that a remedy lets go
  on, can be acted on until it starts.
- One that can only go on sooner, as where its gap shuts before, until the last start at which it could.
- One that can go on at no time of the job, until what it follows starts, which could still be done otherwise.
- An exposed stretch is committed once its first work starts: broken out, it must be mended.

An operation can go on at a time where the audit finds nothing of its own there; what other work can make way for does
not count. One that is cut into visits is only looked at where it stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property

from planner.audit.case import Case, JobSide
from planner.audit.check import Auditor
from planner.audit.gaps import gap_rows
from planner.audit.shifts import worked_shift
from planner.calendars.closures import closure_window
from planner.intervals import Interval
from planner.model import Closure, ClosureState, Gang, Job, Placement, Plan
from planner.network.options import options_of
from planner.units import SLOT_MINUTES, Slot
from planner.weather.job_weather import JobWeather

_OF_OTHERS = frozenset({"gang-busy", "move-too-short", "plant-over", "exposed-open", "value-wrong", "bound-wrong"})
"""Breaches of a start that other work can make way for, or that are no one operation's."""


class Moments:
    """The last moments to act on the breaks of one plan."""

    def __init__(self, job: Job, weather: JobWeather, plan: Plan, checker: Auditor) -> None:
        self._job, self._plan, self._checker = job, plan, checker
        self._side: JobSide = checker.side_of(plan)
        self._case = Case(self._side, plan)
        self._rows = gap_rows(job, weather, plan, checker)
        self._known: dict[str, tuple[int, str]] = {}

    def of(self, place: str, code: str) -> tuple[int, str] | None:
        """Return when one breach is certain, and the operation on which that hangs; None for no operation."""
        if place not in self._case.visits:
            return None
        if code == "exposed-open":
            return min([(self._case.start(place), place), *self._breaking_out(place)])
        if place not in self._known:
            self._known[place] = self._worked_out(place)
        return self._known[place]

    def _breaking_out(self, place: str) -> Iterator[tuple[int, str]]:
        """Yield the start of each exposed stretch with this layer."""
        for exposure in self._side.exposures:
            layers = (*exposure.inside, *(layer.operation for layer in exposure.fit))
            if exposure.plates is None and place in layers:
                yield from ((self._case.start(key), key) for key in exposure.inside if key in self._case.visits)

    def _worked_out(self, place: str) -> tuple[int, str]:
        own = self._case.start(place)
        if place in self._choosable or len(self._case.visits[place]) > 1:
            return own, place
        horizon = self._job.time.horizon
        if any(self._can_start(place, start) for start in range(own, horizon)):
            return own, place
        before = [row for row in self._rows if row.before == place]
        first = max((row.after_at for row in before), default=0)
        sooner = next((start for start in range(own - 1, first - 1, -1) if self._can_start(place, start)), None)
        if sooner is not None:
            return sooner, place
        return min(((self._case.start(row.after), row.after) for row in before), default=(own, place))

    @cached_property
    def _choosable(self) -> set[str]:
        """The operations that may be done in another way, and those before which a gap may be mended."""
        return {key for option in options_of(self._job) for key in (option.key, option.before)}

    def _can_start(self, place: str, start: int) -> bool:
        """Say whether an unbroken operation could go on at a slot, by any gang of its skill."""
        visit = self._case.visits[place][0]
        finish = start + visit.finish - visit.start
        for gang in self._gangs(place, visit.gang):
            if worked_shift(self._side, gang, start * SLOT_MINUTES, finish * SLOT_MINUTES) is None:
                continue
            for closure in self._closures(visit, start, finish):
                there = replace(visit, gang=gang.id, start=Slot(start), finish=Slot(finish), closure=closure)
                found = self._checker.audit_one(self._with(there), place)
                if all(one.place != place or one.code in _OF_OTHERS for one in found):
                    return True
        return False

    def _gangs(self, place: str, first: str) -> list[Gang]:
        """Return the gangs with the skill of an operation, its own first."""
        duty = self._side.duties.get(place)
        able = [gang for gang in self._job.gangs if gang.id == first or (duty and duty.skill in gang.skills)]
        return sorted(able, key=lambda gang: gang.id != first)

    def _closures(self, visit: Placement, start: int, finish: int) -> Iterator[str | None]:
        """Yield the closures that shut the lanes of a visit and hold these slots; None where it needs none."""
        if visit.closure is None:
            yield None
            return
        duty = self._side.duties.get(visit.operation)
        for closure, work in self._windows:
            lanes = set(duty.lanes) if duty else set()
            if lanes <= set(closure.lanes) and work.start <= start and finish <= work.finish:
                yield closure.id

    @cached_property
    def _windows(self) -> list[tuple[Closure, Interval]]:
        """The closures that are not refused, with the slots of work in them."""
        made = ((one, closure_window(one, self._job.time).work) for one in self._job.closures)
        return [(one, work) for one, work in made if work is not None and one.state is not ClosureState.REFUSED]

    def _with(self, moved: Placement) -> Plan:
        """Return the plan with an unbroken operation elsewhere."""
        placed = (moved if one.operation == moved.operation else one for one in self._plan.placements)
        return replace(self._plan, placements=tuple(placed))
