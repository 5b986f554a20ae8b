"""Which shift of a gang holds a visit: looked up by the local day of its start and the day before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from planner.audit.case import JobSide
from planner.model import Gang
from planner.units import SLOT_MINUTES


@dataclass(frozen=True)
class WorkedShift:
    """One shift of a gang, by the local day on which it starts and its minutes since slot 0.

    latest: minute until which work may go on at overtime_cost_per_h [money/h].
    """

    gang: str
    name: str
    day: date
    start: int
    finish: int
    latest: int
    overtime_cost_per_h: float


def worked_shift(side: JobSide, gang: Gang, start: int, finish: int) -> WorkedShift | None:
    """Return the gang's shift that holds all minutes [start, finish), or None: of several, the last to start."""
    begun = (one for one in near_shifts(side, gang, start) if one.start <= start)
    fitting = (one for one in begun if finish <= one.finish or finish <= _latest(side, gang, one))
    return max(fitting, key=lambda one: (one.start, one.finish, one.name), default=None)


def near_shifts(side: JobSide, gang: Gang, minute: int) -> Iterator[WorkedShift]:
    """Yield the gang's shifts that start on the local day of `minute` or on the day before."""
    today = side.time.day_of(minute / SLOT_MINUTES)
    off = {*side.job.job.days_off, *gang.days_off}
    for day in (today - timedelta(days=1), today):
        if day in off:
            continue
        for shift in gang.shifts:
            if day in side.shift_days(shift):
                opens, closes = side.shift_minutes(shift, day)
                latest = closes + round(shift.overtime_h * 60)
                yield WorkedShift(gang.id, shift.name, day, opens, closes, latest, shift.overtime_cost_per_h)


def _latest(side: JobSide, gang: Gang, worked: WorkedShift) -> int:
    """Return the minute at which overtime must end: where the gang's next shift starts, if that is sooner."""
    if worked.latest == worked.finish:
        return worked.finish
    following = [
        one.start
        for minute in (worked.start, worked.start + 24 * 60)
        for one in near_shifts(side, gang, minute)
        if one.start > worked.start
    ]
    return min([worked.latest, *following])
