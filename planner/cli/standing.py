"""How good a plan is, in site English: what it comes to, whether that is proved best, and else what no plan beats."""

from __future__ import annotations

import math

from planner.audit.wording import at_slot
from planner.cli.wording import count_words
from planner.model import Aim, Plan, PlanStatus
from planner.units import SLOTS_PER_HOUR, SiteTime

_SLOTS_PER_DAY = 24 * SLOTS_PER_HOUR
_ROUNDING = 1e-3
"""Slack, in slots, for figures kept in days to six decimals."""
AIMS = {
    Aim.FINISH: "earliest finish",
    Aim.CLOSURES: "fewest closures",
    Aim.COST: "least cost",
    Aim.CHANGE: "least change",
}
_PROVED = {
    Aim.FINISH: "no plan finishes earlier",
    Aim.CLOSURES: "no plan uses fewer",
    Aim.COST: "no plan costs less",
    Aim.CHANGE: "no plan changes fewer",
}
_AT_LEAST = {
    Aim.FINISH: "no plan can finish before",
    Aim.CLOSURES: "no plan can use fewer than",
    Aim.COST: "no plan can cost less than",
    Aim.CHANGE: "no plan can change fewer than",
}


def standing_words(plan: Plan, time: SiteTime, money: str) -> str:
    """Return "Finish Tue 8 Jun 17:00, proved: no plan finishes earlier", or what is known where it is not proved."""
    worth = figure_words(plan.value, plan.aim, time, money)
    if plan.status is PlanStatus.OPTIMAL:
        return f"{worth}, proved: {_PROVED[plan.aim]}"
    return f"{worth}, not proved best: {bound_words(plan.bound, plan.aim, time, money)}"


def figure_words(value: float, aim: Aim, time: SiteTime, money: str) -> str:
    """Return what was aimed at, such as "Finish Tue 8 Jun 17:00", "3 closures" or "12,400.00 GBP"."""
    measure = _measure(value, aim, time, money)
    return {Aim.FINISH: f"Finish {measure}", Aim.CHANGE: f"{measure} changed"}.get(aim, measure)


def bound_words(bound: float, aim: Aim, time: SiteTime, money: str) -> str:
    """Return what no plan can beat, such as "no plan can finish before Mon 7 Jun 09:00"."""
    return f"{_AT_LEAST[aim]} {_measure(bound, aim, time, money)}"


def _measure(value: float, aim: Aim, time: SiteTime, money: str) -> str:
    match aim:
        case Aim.FINISH:
            return at_slot(time, math.ceil(value * _SLOTS_PER_DAY - _ROUNDING))
        case Aim.CLOSURES:
            return count_words(round(value), "closure")
        case Aim.CHANGE:
            return count_words(round(value), "operation")
        case Aim.COST:
            return f"{value:,.2f} {money}"
