"""What a new forecast breaks in a plan that was handed out, and the last moment at which each break can be met."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.audit.case import Case, JobSide
from planner.audit.check import Auditor
from planner.audit.gaps import gap_rows
from planner.findings import Finding, Weight
from planner.model import Job, Plan
from planner.problem.issued import Issued
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class Break:
    """All that breaks at one operation, or at another place such as a gang.

    place: an operation key, or what else the findings are about. happens: slot of the first breach; None where it
    has none. act_by: the slot from which the break is certain: until then something that would mend it has not
    begun. It is the start of `acting`, the operation itself or the forerunner that commits it; None where the plan
    holds no such operation. is_fixed: the operation is done or under way, so nothing but a remedy on site is left.
    """

    place: str
    findings: tuple[Finding, ...]
    happens: int | None
    act_by: int | None
    acting: str
    is_fixed: bool


def breaks(
    job: Job,
    weather: JobWeather,
    plan: Plan,
    now: int = 0,
    auditor: Auditor | None = None,
    begun: frozenset[str] | None = None,
    found: Sequence[Finding] | None = None,
) -> tuple[Break, ...]:
    """Return the breaches that the audit finds, grouped by place, those to be acted on first in front.

    now: slot; what started before it is done or under way, or what is in `begun`. auditor: one of this job and
    weather, if there is one. found: what is broken, where the site record has been read into the plan.
    """
    checker = auditor or Auditor(job, weather)
    grouped: dict[str, list[Finding]] = {}
    for finding in checker.audit(plan) if found is None else found:
        if finding.weight is Weight.BREACH:
            grouped.setdefault(finding.place, []).append(finding)
    limits = _Limits(job, weather, plan, checker, Issued(plan, now, begun))
    return tuple(sorted((limits.of(place, tuple(own)) for place, own in grouped.items()), key=_by_urgency))


def _by_urgency(one: Break) -> tuple[bool, int, str]:
    return one.is_fixed, -1 if one.act_by is None else one.act_by, one.place


class _Limits:
    """Until when the breaks of one plan can still be met."""

    def __init__(self, job: Job, weather: JobWeather, plan: Plan, checker: Auditor, issued: Issued) -> None:
        self._side: JobSide = checker.side_of(plan)
        self._case, self._issued = Case(self._side, plan), issued
        self._rows = gap_rows(job, weather, plan, checker)

    def of(self, place: str, findings: tuple[Finding, ...]) -> Break:
        slots = [finding.slot for finding in findings if finding.slot is not None]
        moments = [self._moment(place, finding.code) for finding in findings]
        known = [moment for moment in moments if moment is not None]
        act_by, acting = min(known, default=(None, place))
        return Break(place, findings, min(slots, default=None), act_by, acting, self._issued.is_done(place))

    def _moment(self, place: str, code: str) -> tuple[int, str] | None:
        """Return when one breach is certain, and the operation whose start makes it so."""
        if place not in self._case.visits:
            return None
        own = self._case.start(place)
        if code == "exposed-open":
            return min([(own, place), *self._breaking_out(place)])
        if code == "gap-late":
            return min([(own, place), *self._shutting(place)])
        return own, place

    def _breaking_out(self, place: str) -> list[tuple[int, str]]:
        """Return the start of each exposed stretch with this layer: broken out, it must be mended."""
        return [
            (self._case.start(key), key)
            for exposure in self._side.exposures
            if exposure.plates is None and place in (*exposure.inside, *(layer.operation for layer in exposure.fit))
            for key in exposure.inside
            if key in self._case.visits
        ]

    def _shutting(self, place: str) -> list[tuple[int, str]]:
        """Return the shutting of each missed gap: until then the operation could still be brought forward."""
        return [
            (row.shuts, place)
            for row in self._rows
            if row.before == place and row.shuts is not None and row.shuts < row.planned
        ]
