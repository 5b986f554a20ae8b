"""The case before the audit: a job written out once, and one plan of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property
from types import MappingProxyType

from planner.audit.chosen import Used, used_in, ways_of, worked_as
from planner.audit.duties import Duty, duties
from planner.audit.minutes import MinuteWeather
from planner.audit.names import Names, names_of
from planner.audit.shift_days import shift_days
from planner.audit.ties import Exposure, Order, Tied, Wait, exposures, holds, orders, waits
from planner.audit.wording import at_minute, at_slot
from planner.calendars.sun import SunDay, sun_day
from planner.model import Closure, Gang, Job, Placement, Plan, Shift
from planner.units import SLOT_MINUTES, SiteTime


@dataclass(frozen=True, eq=False)
class JobSide:
    """The job and its weather, with the demands and ties written out; serves all plans that use the same choices.

    job: as it is with the alternatives and remedies in `used`.
    """

    job: Job
    minutes: MinuteWeather
    used: tuple[Used, ...] = ()
    _shift_days: dict[object, frozenset[date]] = field(default_factory=dict)
    _shift_minutes: dict[object, tuple[int, int]] = field(default_factory=dict)
    _sun: dict[date, SunDay] = field(default_factory=dict)
    attended: dict[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)
    """By releaser, minutes of attendance: filled by `releases.attendance`."""

    @cached_property
    def time(self) -> SiteTime:
        """The job's slot axis."""
        return self.job.time

    @cached_property
    def horizon(self) -> int:
        """Number of slots of the job."""
        return self.time.horizon

    @cached_property
    def names(self) -> Names:
        """What everything is called."""
        return names_of(self.job)

    @cached_property
    def duties(self) -> dict[str, Duty]:
        """Every operation by key."""
        return duties(self.job)

    @cached_property
    def orders(self) -> tuple[Order, ...]:
        """Every order."""
        return orders(self.job)

    @cached_property
    def waits(self) -> tuple[Wait, ...]:
        """Every gap."""
        return waits(self.job)

    @cached_property
    def exposures(self) -> tuple[Exposure, ...]:
        """Every exposed stretch that applies."""
        return exposures(self.job)

    @cached_property
    def holds(self) -> tuple[Tied, ...]:
        """Every plant hold."""
        return holds(self.job)

    @cached_property
    def gangs(self) -> dict[str, Gang]:
        """Every gang by id."""
        return {gang.id: gang for gang in self.job.gangs}

    @cached_property
    def closures(self) -> dict[str, Closure]:
        """Every closure by id."""
        return {closure.id: closure for closure in self.job.closures}

    def shift_days(self, shift: Shift) -> frozenset[date]:
        """Return the local days on which a shift starts."""
        key = (shift.rule, shift.start, shift.anchor)
        if key not in self._shift_days:
            self._shift_days[key] = shift_days(shift, self.time)
        return self._shift_days[key]

    def shift_minutes(self, shift: Shift, day: date) -> tuple[int, int]:
        """Return the minutes since slot 0 at which a shift that starts on local `day` starts and finishes."""
        key = (shift.start, shift.finish, day)
        if key not in self._shift_minutes:
            ends_on = day if shift.finish > shift.start else day + timedelta(days=1)
            opens, closes = self.time.instant(day, shift.start), self.time.instant(ends_on, shift.finish)
            self._shift_minutes[key] = (self.time.minutes_of(opens), self.time.minutes_of(closes))
        return self._shift_minutes[key]

    def sun(self, day: date) -> SunDay:
        """Return the sun's times around local `day`."""
        if day not in self._sun:
            self._sun[day] = sun_day(self.job.site, day)
        return self._sun[day]

    @cached_property
    def works(self) -> dict[str, tuple[int, int]]:
        """The part of each closure [minutes] between set-out and clear; empty ones finish before they start."""
        return {closure.id: _work_minutes(closure, self.time) for closure in self.job.closures}


def side_for(job: Job, minutes: MinuteWeather, plan: Plan) -> JobSide:
    """Return the job as `plan` works it: with the alternatives and remedies that its placements name."""
    used = used_in(job, ways_of(plan))
    return JobSide(worked_as(job, used), minutes, used)


def _work_minutes(closure: Closure, time: SiteTime) -> tuple[int, int]:
    start = time.minutes_of(time.wall(closure.start)) + closure.set_out_min
    return start, time.minutes_of(time.wall(closure.finish)) - closure.clear_min


Exact = Mapping[tuple[str, str], int]
"""Minutes since slot 0 at which ends of operations really were, by operation and "start" or "finish"."""
NOTHING_EXACT: Exact = MappingProxyType({})


@dataclass(frozen=True, eq=False)
class Case:
    """One plan before the audit.

    only: check just the rules that touch this operation; None for all. exact: where the site record tells to the
    minute when something was; the plan's slots hold those minutes.
    """

    side: JobSide
    plan: Plan
    only: str | None = None
    exact: Exact = field(default_factory=dict)

    @cached_property
    def visits(self) -> dict[str, tuple[Placement, ...]]:
        """The visits of each known operation that the plan holds, in order of time."""
        found: dict[str, list[Placement]] = {}
        for placed in self.plan.placements:
            if placed.operation in self.side.duties:
                found.setdefault(placed.operation, []).append(placed)
        return {key: tuple(sorted(visits, key=lambda visit: visit.start)) for key, visits in found.items()}

    def about(self, operation: str, exact: Exact) -> Case:
        """Return the same plan, of which only the rules that touch `operation` are checked; its visits are known."""
        made = replace(self, only=operation, exact=exact)
        made.__dict__["visits"] = self.visits
        return made

    @cached_property
    def chosen(self) -> tuple[tuple[Duty, tuple[Placement, ...]], ...]:
        """The operations to check, each with its visits; those without any are left out."""
        keys = self.side.duties if self.only is None else (self.only,)
        return tuple((self.side.duties[key], self.visits[key]) for key in keys if key in self.visits)

    def touches(self, *keys: str) -> bool:
        """Say whether a rule between these operations is to be checked."""
        return self.only is None or self.only in keys

    def planned(self, *keys: str) -> bool:
        """Say whether the plan holds all these operations."""
        return all(key in self.visits for key in keys)

    def start(self, key: str) -> int:
        """Return the slot at which an operation starts."""
        return self.visits[key][0].start

    def finish(self, key: str) -> int:
        """Return the slot at which an operation has finished."""
        return max(visit.finish for visit in self.visits[key])

    def end(self, key: str, which: str) -> int:
        """Return the slot of the "start" or the "finish" of an operation."""
        return self.start(key) if which == "start" else self.finish(key)

    def minute(self, key: str, which: str) -> int:
        """Return the minute of the "start" or the "finish" of an operation: the recorded one, else the slot's."""
        recorded = self.exact.get((key, which))
        return self.end(key, which) * SLOT_MINUTES if recorded is None else recorded

    def called(self, key: str) -> str:
        """Return an operation's name for people."""
        duty = self.side.duties.get(key)
        return duty.called if duty else key

    def at(self, slot: int) -> str:
        """Return the site's local time at a slot."""
        return at_slot(self.side.time, slot)

    def at_minute(self, minute: float) -> str:
        """Return the site's local time at a minute."""
        return at_minute(self.side.time, minute)


def minutes_of(visit: Placement) -> tuple[int, int]:
    """Return the minutes [start, finish) of a visit."""
    return visit.start * SLOT_MINUTES, visit.finish * SLOT_MINUTES
