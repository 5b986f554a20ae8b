"""How good a plan is, in site English: what it comes to, whether that is proved best, and else what no plan beats."""

from __future__ import annotations

import math
from collections.abc import Sequence

from planner.audit.wording import at_slot
from planner.cli.wording import count_words
from planner.model import NO_WORTHS, Aim, Plan, PlanStatus, Worths
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
_WEIGHED, _WEIGHED_AT_LEAST = "no plan comes to less", "no plan can come to less than"
_AT_LEAST = {
    Aim.FINISH: "no plan can finish before",
    Aim.CLOSURES: "no plan can use fewer than",
    Aim.COST: "no plan can cost less than",
    Aim.CHANGE: "no plan can change fewer than",
}


def aims_words(aims: Sequence[Aim], worths: Worths = NO_WORTHS) -> str:
    """Return "earliest finish, then least cost"; "least cost, weighed" where `worths` are put on it."""
    return ", then ".join(AIMS[aim] + (", weighed" if worths and aim is Aim.COST else "") for aim in aims)


def standing_words(plan: Plan, time: SiteTime, money: str) -> str:
    """Return "Finish Tue 8 Jun 17:00, proved: no plan finishes earlier", or what is known where it is not proved."""
    weighed = bool(plan.worths)
    worth = figure_words(plan.value, plan.aim, time, money, weighed)
    if plan.status is PlanStatus.OPTIMAL:
        return f"{worth}, proved: {_WEIGHED if weighed and plan.aim is Aim.COST else _PROVED[plan.aim]}"
    return f"{worth}, not proved best: {bound_words(plan.bound, plan.aim, time, money, weighed)}"


def figure_words(value: float, aim: Aim, time: SiteTime, money: str, weighed: bool = False) -> str:
    """Return what was aimed at, such as "Finish Tue 8 Jun 17:00", "3 closures" or "12,400.00 GBP"."""
    measure = _measure(value, aim, time, money)
    if aim is Aim.COST and weighed:
        return f"{measure}, weighed"
    return {Aim.FINISH: f"Finish {measure}", Aim.CHANGE: f"{measure} changed"}.get(aim, measure)


def bound_words(bound: float, aim: Aim, time: SiteTime, money: str, weighed: bool = False) -> str:
    """Return what no plan can beat, such as "no plan can finish before Mon 7 Jun 09:00"."""
    head = _WEIGHED_AT_LEAST if weighed and aim is Aim.COST else _AT_LEAST[aim]
    return f"{head} {_measure(bound, aim, time, money)}"


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
