"""What a study takes from the site record: done and begun work stands, and closures that are past are past."""

from __future__ import annotations

from planner.audit.check import Auditor
from planner.calendars.closures import closure_window
from planner.closures.results import FromRecord
from planner.findings import Weight
from planner.jobfile.issues import issued_plans
from planner.model import ClosureState, Job, Plan
from planner.site_record.missed import MissedGap
from planner.site_record.progress import State
from planner.site_record.rest import Rest, rest_of
from planner.solve.let_go import missed_gaps
from planner.weather.job_weather import JobWeather


class Standing:
    """A job as its record has it; without any record nothing stands. planned: the plan that the record is read
    against, else the one issued last.
    """

    def __init__(self, job: Job, weather: JobWeather, planned: Plan | None = None) -> None:
        self._weather = weather
        issued = issued_plans(job) if job.record and planned is None else ()
        self.rest: Rest | None = rest_of(job, Auditor(job, weather), issued[-1].plan if issued else planned)
        rest = self.rest
        self.missed = () if rest is None else missed_gaps(job, weather, rest.stood, rest.now)
        """Gaps that recorded work can't meet any more: all else is planned, and people decide about these."""
        self.settled = frozenset[str]() if self.rest is None else _settled(job, self.rest)
        """Closures that are not in question: work that has begun lies in them, or their time is over."""

    @property
    def told(self) -> FromRecord | None:
        """Return what there is to say of the record."""
        return None if self.rest is None else _told(self.rest, self.settled, self.missed)

    def is_sound(self, job: Job, plan: Plan) -> bool:
        """Say whether a plan of the job, with its closures as they are there, breaks nothing but what is done."""
        auditor = Auditor(job, self._weather)
        if self.rest is None:
            return not any(one.weight is Weight.BREACH for one in auditor.audit(plan))
        return self._goes_on(self.rest, plan) and not self.rest.unclean(plan, auditor, self.missed)

    @staticmethod
    def _goes_on(rest: Rest, plan: Plan) -> bool:
        """Say whether a plan has begun work where it was, and nothing else before now."""
        begun = [_where(one, rest) for one in (rest.base, plan)]
        ahead = (placed for placed in plan.placements if placed.operation not in rest.begun)
        return begun[0] == begun[1] and all(placed.start >= rest.now for placed in ahead)


def _where(plan: Plan, rest: Rest) -> set[tuple[str, int, int, str]]:
    return {
        (one.operation, one.start, one.finish, one.gang) for one in plan.placements if one.operation in rest.begun
    }


def _settled(job: Job, rest: Rest) -> frozenset[str]:
    used = {one.closure for one in rest.base.placements if one.operation in rest.begun and one.closure is not None}
    works = ((one.id, closure_window(one, job.time).work) for one in job.closures)
    over = {id for id, work in works if work is not None and work.finish <= rest.now}
    refused = {one.id for one in job.closures if one.state is ClosureState.REFUSED}
    return frozenset((used | over) - (refused - used))


def _told(rest: Rest, settled: frozenset[str], missed: tuple[MissedGap, ...]) -> FromRecord:
    states: dict[str, set[State]] = {}
    for placed in rest.base.placements:
        if placed.operation in rest.begun:
            states.setdefault(placed.operation, set()).add(rest.stood.progress.state(placed.operation, placed.visit))
    done = sum(found == {State.DONE} for found in states.values())
    words = tuple(one.words for one in missed)
    return FromRecord(done, len(states) - done, int(rest.now), tuple(sorted(settled)), words)
