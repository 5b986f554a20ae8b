"""Gangs that work longer, at the end of their shifts, at the beginning or at both; and more gangs like them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise, takewhile

from planner.calendars.shifts import shift_times
from planner.model import Gang, Job, Shift
from planner.network.options import OVERTIME
from planner.network.work import Work
from planner.solve.calling import Calling
from planner.solve.ease import Ease, Made
from planner.solve.words import clock_hours

MOST_LONGER = 12 * 4
"""Quarter-hours by which shifts are made longer at an end, as far as a job's overtime may go."""
MORE_GANGS = 2
_DAY_MIN = 24 * 60


@dataclass(frozen=True)
class ShiftEases:
    """The gangs of one job working longer, one gang at a time."""

    job: Job
    work: Work
    calls: Calling

    def of(self, skill: str) -> Iterator[Ease]:
        """Yield for each gang with the skill: its shifts longer at the end, at the start, at both; and more gangs."""
        for gang in self.job.gangs:
            if skill in gang.skills:
                called = self.calls.gang(gang.id)
                yield self._longer(gang, MOST_LONGER, False, True, f"more of {called} at the end of its shifts")
                steps = self._earlier_steps(gang)
                yield self._longer(gang, steps, True, False, f"more of {called} at the start of its shifts")
                yield self._longer(gang, steps, True, True, f"more of {called} at each end of its shifts")
                yield self._one_more(gang)

    def _longer(self, gang: Gang, steps: int, at_start: bool, at_end: bool, words: str) -> Ease:
        def made(level: int) -> Made:
            longer = earlier(gang, level) if at_start else gang
            return self._with(later(longer, level) if at_end else longer, {gang.id: OVERTIME} if at_end else {})

        return Ease(
            steps, made, lambda level: f"{clock_hours(level)} {words}", (at_start + at_end) * steps / MOST_LONGER
        )

    def _with(self, gang: Gang, overtime: dict[str, str]) -> Made:
        gangs = tuple(gang if one.id == gang.id else one for one in self.job.gangs)
        return self.job.model_copy(update={"gangs": gangs}), self.work, overtime

    def _earlier_steps(self, gang: Gang) -> int:
        """Return by how many quarter-hours the gang can start earlier: no shift into the one before it."""
        most = min(MOST_LONGER, *(_room_before(shift) for shift in gang.shifts))
        return sum(1 for _ in takewhile(lambda level: self._apart(earlier(gang, level)), range(1, most + 1)))

    def _apart(self, gang: Gang) -> bool:
        times = [one.interval for one in shift_times(gang, self.job)]
        return all(first.finish <= second.start for first, second in pairwise(times))

    def _one_more(self, gang: Gang) -> Ease:
        def made(level: int) -> Made:
            more = [gang.model_copy(update={"id": f"{gang.id}.{number}"}) for number in range(2, level + 2)]
            return self.job.model_copy(update={"gangs": (*self.job.gangs, *more)}), self.work, {}

        return Ease(MORE_GANGS, made, lambda level: f"{level} more like {self.calls.gang(gang.id)}")


def earlier(gang: Gang, level: int) -> Gang:
    """Return the gang with all its shifts begun so many quarter-hours earlier, on the same day."""
    return gang.model_copy(
        update={"shifts": tuple(one.model_copy(update={"start": _before(one.start, level)}) for one in gang.shifts)}
    )


def later(gang: Gang, level: int) -> Gang:
    """Return the gang with so many quarter-hours more of overtime in all its shifts."""
    return gang.model_copy(
        update={
            "shifts": tuple(one.model_copy(update={"overtime_h": one.overtime_h + level / 4}) for one in gang.shifts)
        }
    )


def _before(start: time, level: int) -> time:
    return (datetime.combine(date(2000, 1, 1), start) - timedelta(minutes=15 * level)).time()


def _room_before(shift: Shift) -> int:
    """Return how many quarter-hours earlier a shift could begin: on its day, and less than a day before its end."""
    begins, ends = (60 * clock.hour + clock.minute for clock in (shift.start, shift.finish))
    length = (ends - begins - 1) % _DAY_MIN + 1
    return max(0, min(begins, _DAY_MIN - length - 1) // 15)
