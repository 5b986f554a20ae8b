"""Which issue a plan is, and whether it stands on the forecast with which that was handed out."""

from __future__ import annotations

from collections.abc import Sequence

from planner.jobfile.issues import IssuedPlan
from planner.model import Plan
from planner.weather.series import HourlySeries, same_weather


def same_plan(one: Plan, other: Plan) -> bool:
    """Say whether two plans have the same work at the same times, by the same gangs, done the same way."""
    return set(one.placements) == set(other.placements)


def issue_of(issued: Sequence[IssuedPlan], plan: Plan | None) -> IssuedPlan | None:
    """Return the latest issue that a plan is, before any site record was read into it, or None."""
    if plan is None:
        return None
    alike = (one for one in reversed(issued) if one.plan is not None and same_plan(one.plan, plan))
    return next(alike, None)


def issued_on_another(issued: Sequence[IssuedPlan], plan: Plan | None, series: HourlySeries) -> IssuedPlan | None:
    """Return the issue that a plan is, where its forecast was another than `series`; else None."""
    found = issue_of(issued, plan)
    return None if found is None or same_weather(found.series, series) else found
