"""Closures that last longer: by minutes at first, then by quarter-hours, up to a week at either end."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from planner.audit.wording import day_words
from planner.model import ClosureState, Job
from planner.network.work import Work
from planner.solve.calling import Calling
from planner.solve.ease import Ease, Made

CLOSURES_TRIED = 4
"""Closures that are tried longer for one requirement, the longest first."""
LONGER_MIN = (*range(5, 8 * 60 + 1, 5), *range(8 * 60 + 15, 7 * 24 * 60 + 1, 15))
"""By how much a closure is made longer [min], level by level."""


@dataclass(frozen=True)
class ClosureEases:
    """The closures of one job made longer, one at a time and at one end."""

    job: Job
    work: Work
    calls: Calling

    def of(self, lanes: tuple[str, ...]) -> Iterator[Ease]:
        """Yield for the longest closures of these lanes: longer at the end, or earlier at the start, up to a week."""
        usable = [
            closure
            for closure in self.job.closures
            if closure.state is not ClosureState.REFUSED and set(lanes) <= set(closure.lanes)
        ]
        usable.sort(key=lambda closure: closure.start - closure.finish)
        for closure in usable[:CLOSURES_TRIED]:
            yield self._longer(closure.id, "finish", 1)
            yield self._longer(closure.id, "start", -1)

    def _longer(self, id: str, end: str, sign: int) -> Ease:
        closure = self.job.closure(id)
        stands: datetime = getattr(closure, end)
        word = "until" if end == "finish" else "from"

        def moved(level: int) -> datetime:
            return stands + sign * timedelta(minutes=LONGER_MIN[level - 1])

        def made(level: int) -> Made:
            closures = tuple(
                one.model_copy(update={end: moved(level)}) if one.id == id else one for one in self.job.closures
            )
            return self.job.model_copy(update={"closures": closures}), self.work, {}

        def words(level: int) -> str:
            new = moved(level)
            if new.date() == stands.date():
                return f"{self.calls.closure(id)} {word} {new:%H:%M} instead of {stands:%H:%M}"
            return f"{self.calls.closure(id)} {word} {_when(new)} instead of {_when(stands)}"

        steps = self._levels(stands, sign)
        return Ease(steps, made, words, steps / len(LONGER_MIN))

    def _levels(self, stands: datetime, sign: int) -> int:
        """Return how many levels lie within the job: what is shut before or after it is of no use to it."""
        first = datetime.combine(self.job.job.first_day, datetime.min.time())
        room = stands - first if sign < 0 else first + timedelta(days=self.job.job.days + 1) - stands
        return bisect_right(LONGER_MIN, room // timedelta(minutes=1))


def _when(moment: datetime) -> str:
    return f"{day_words(moment.date())} {moment:%H:%M}"
