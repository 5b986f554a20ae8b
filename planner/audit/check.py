"""The audit: every rule of a plan stated a second time, from the job alone, and checked minute by minute."""

from __future__ import annotations

from planner.audit import (
    after_checks,
    closure_checks,
    exposed_checks,
    figure_checks,
    gang_checks,
    gap_checks,
    light_checks,
    order_checks,
    pin_checks,
    plant_checks,
    release_checks,
    visit_checks,
    weather_checks,
)
from planner.audit.case import NOTHING_EXACT, Case, Exact, JobSide
from planner.audit.chosen import Used, used_in, ways_of, worked_as
from planner.audit.minutes import MinuteWeather
from planner.findings import Finding
from planner.model import Job, Plan
from planner.weather.job_weather import JobWeather

_FAMILIES = (
    visit_checks.check,
    order_checks.check,
    gap_checks.check,
    gang_checks.check,
    pin_checks.check,
    release_checks.check,
    plant_checks.check,
    closure_checks.check,
    exposed_checks.check,
    weather_checks.check,
    after_checks.check,
    light_checks.check,
    figure_checks.check,
)

_LATELY = 2


class Auditor:
    """Audits any number of plans of one job in one weather; what they share is worked out once."""

    def __init__(self, job: Job, weather: JobWeather) -> None:
        self._job, self._minutes = job, MinuteWeather(weather)
        self._sides: dict[tuple[Used, ...], JobSide] = {}
        self._lately: list[Case] = []

    def side_of(self, plan: Plan) -> JobSide:
        """Return the job as `plan` works it."""
        return self._case(plan).side

    def _case(self, plan: Plan) -> Case:
        """Return a plan to be checked; those asked for lately are kept, as a step of a drag asks five times."""
        for known in self._lately:
            if known.plan is plan:
                return known
        case = Case(self._side_of(plan), plan)
        self._lately = [case, *self._lately[: _LATELY - 1]]
        return case

    def _side_of(self, plan: Plan) -> JobSide:
        used = used_in(self._job, ways_of(plan))
        if used not in self._sides:
            self._sides[used] = JobSide(worked_as(self._job, used), self._minutes, used)
        return self._sides[used]

    def audit(self, plan: Plan, exact: Exact = NOTHING_EXACT) -> tuple[Finding, ...]:
        """Return every breach of `plan`, sorted by slot; nothing if it may be worked as it stands.

        exact: minutes that the site record tells.
        """
        return _findings(Case(self.side_of(plan), plan, None, exact))

    def audit_one(self, plan: Plan, operation: str, exact: Exact = NOTHING_EXACT) -> tuple[Finding, ...]:
        """Return the breaches of the rules that touch `operation`, quickly enough for a bar being dragged."""
        return _findings(self._case(plan).about(operation, exact))


def audit(job: Job, weather: JobWeather, plan: Plan) -> tuple[Finding, ...]:
    """Return every breach of `plan`, sorted by slot; nothing if it may be worked as it stands."""
    return Auditor(job, weather).audit(plan)


def _findings(case: Case) -> tuple[Finding, ...]:
    found = [finding for family in _FAMILIES for finding in family(case)]
    return tuple(sorted(found, key=_place))


def _place(finding: Finding) -> tuple[int, str, str]:
    """Sort by slot; what has no slot comes first, since it concerns the whole plan or something missing."""
    return (-(10**9) if finding.slot is None else finding.slot, finding.place, finding.code)
