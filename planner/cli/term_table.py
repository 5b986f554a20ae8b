"""Each term of a plan beside what no plan goes below, as far as that is known."""

from __future__ import annotations

import math

from planner.audit.compare import compare
from planner.audit.terms import PlanTerms
from planner.audit.wording import at_slot
from planner.cli.wording import columns
from planner.model import Aim, Floors, Job, Plan

_SLOTS_PER_DAY = 96
_ROUNDING = 1e-3
_SAME = 0.005
"""Money below which two figures are one."""


def term_lines(job: Job, plan: Plan, terms: PlanTerms, issued: Plan | None = None) -> list[str]:
    """Return the terms with a line over them; nothing for a plan without floors. issued: what it was changed from."""
    rows = term_rows(job, plan, terms, issued)
    return ["Terms, each with what no plan goes below:", *columns(rows, indent="  ")] if rows else []


def term_rows(job: Job, plan: Plan, terms: PlanTerms, issued: Plan | None = None) -> list[tuple[str, ...]]:
    """Return for each term its name, what it comes to and what no plan goes below; nothing without floors."""
    floors = plan.floors
    if floors is None:
        return []
    rows = [*_finish_row(job, terms, floors), *_number_rows(terms, floors), *_money_rows(terms, floors)]
    moved = _moved(issued, plan)
    if issued is not None:
        rows.append(("operations changed", str(moved), _number(moved, floors.moved)))
    return rows + _worth_rows(job, plan, terms, moved)


def _moved(issued: Plan | None, plan: Plan) -> int:
    """Return how many operations stand otherwise than in the plan that was handed out."""
    if issued is None:
        return 0
    change = compare(issued, plan)
    return len(change.moved) + len(change.appeared) + len(change.vanished)


def _worth_rows(job: Job, plan: Plan, terms: PlanTerms, moved: int) -> list[tuple[str, ...]]:
    """Return what was put on days, closures, crew-days and moved operations, each beside what it can't go below."""
    worths, floors = plan.worths, plan.floors
    if not worths or floors is None:
        return []
    days = 0 if floors.finish_days is None else _days_to(job, floors.finish_days)
    named = (
        ("days", worths.day, terms.calendar_days, days),
        ("closures", worths.closure, terms.closures, floors.closures),
        ("crew-days", worths.crew_day, len(terms.crew_days), floors.crew_days),
        ("operations changed", worths.moved, moved, floors.moved),
    )
    rows: list[tuple[str, ...]] = [
        (f"{name}, {each:,.2f} each", f"{each * count:,.2f}", _money(each * count, each * (least or 0.0)))
        for name, each, count, least in named
        if each
    ]
    put = sum(each * count for _, each, count, _ in named)
    floor = (floors.cost or 0.0) + sum(each * (least or 0.0) for _, each, _, least in named)
    bound = max(floor, plan.bound) if plan.aim is Aim.COST else floor
    return [*rows, ("weighed in all", f"{terms.cost + put:,.2f}", _money(terms.cost + put, bound))]


def _days_to(job: Job, finish_days: float) -> int:
    """Return the days from the job's first to that of a finish, both included."""
    last = math.ceil(finish_days * _SLOTS_PER_DAY - _ROUNDING) - 1
    return (job.time.day_of(max(0, last)) - job.time.first_day).days + 1


def _finish_row(job: Job, terms: PlanTerms, floors: Floors) -> list[tuple[str, ...]]:
    if floors.finish_days is None:
        return []
    reached, least = (
        math.ceil(days * _SLOTS_PER_DAY - _ROUNDING) for days in (terms.finish_days, floors.finish_days)
    )
    floor = "proved least" if reached <= least else f"not before {at_slot(job.time, least)}"
    return [("finish", at_slot(job.time, reached), floor)]


def _number_rows(terms: PlanTerms, floors: Floors) -> list[tuple[str, ...]]:
    return [
        ("closures", str(terms.closures), _number(terms.closures, floors.closures)),
        ("crew-days", str(len(terms.crew_days)), _number(len(terms.crew_days), floors.crew_days)),
    ]


def _number(reached: int, floor: float | None) -> str:
    if floor is None:
        return "nothing known"
    return "proved least" if reached <= floor else f"no fewer than {floor:g}"


def _money_rows(terms: PlanTerms, floors: Floors) -> list[tuple[str, ...]]:
    named = (
        ("prelims", terms.prelims, floors.prelims),
        ("closures, money", terms.closure_cost, floors.closure_cost),
        ("crew-days, money", terms.crew_cost, floors.crew_cost),
        ("overtime", terms.overtime_cost, 0.0),
        ("alternatives", terms.alternative_cost, floors.alternative_cost),
        ("remedies", terms.remedy_cost, 0.0),
        ("cost in all", terms.cost, floors.cost),
    )
    return [
        (name, f"{money:,.2f}", _money(money, floor))
        for name, money, floor in named
        if money or floor or name == "cost in all"
    ]


def _money(reached: float, floor: float | None) -> str:
    if floor is None:
        return "nothing known"
    return "proved least" if reached <= floor + _SAME else f"no less than {floor:,.2f}"
