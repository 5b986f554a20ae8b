"""What a new forecast breaks in a plan that was handed out, and the last moment at which each break can be met."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.audit.check import Auditor
from planner.findings import Finding, Weight
from planner.model import Job, Plan
from planner.problem.issued import Issued
from planner.replan.moments import Moments
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class Break:
    """All that breaks at one operation, or at another place such as a gang.

    place: an operation key, or what else the findings are about. happens: slot of the first breach; None where it
    has none. act_by: the slot from which the break is certain: until then something that would mend it has not
    begun, see `planner.replan.moments`. It hangs on `acting`, the operation itself or the forerunner that commits it;
    None where the plan holds no such operation. is_fixed: the operation is done or under way, so nothing but a remedy
    on site is left. is_certain: that moment has passed.
    """

    place: str
    findings: tuple[Finding, ...]
    happens: int | None
    act_by: int | None
    acting: str
    is_fixed: bool
    is_certain: bool = False


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
    moments, issued = Moments(job, weather, plan, checker), Issued(plan, now, begun)
    made = (_break(place, tuple(own), moments, issued) for place, own in grouped.items())
    return tuple(sorted(made, key=_by_urgency))


def _by_urgency(one: Break) -> tuple[bool, int, str]:
    return one.is_fixed, -1 if one.act_by is None else one.act_by, one.place


def _break(place: str, findings: tuple[Finding, ...], moments: Moments, issued: Issued) -> Break:
    slots = [finding.slot for finding in findings if finding.slot is not None]
    known = [moment for finding in findings if (moment := moments.of(place, finding.code)) is not None]
    act_by, acting = min(known, default=(None, place))
    is_certain = act_by is not None and act_by < issued.now
    return Break(place, findings, min(slots, default=None), act_by, acting, issued.is_done(place), is_certain)
