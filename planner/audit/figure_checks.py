"""The figures that a plan states about itself are true."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.case import Case
from planner.audit.terms import PlanTerms, side_terms
from planner.findings import Finding
from planner.model import Aim, Plan

_ROUNDING = {Aim.FINISH: 1e-6, Aim.CLOSURES: 1e-6, Aim.COST: 0.01}
"""What a stated value may be rounded by: a millionth of a day, or the smallest coin."""
_DUST = 1e-6


def check(case: Case) -> Iterator[Finding]:
    """Yield a value that does not match its aim, and a bound above the value."""
    if case.only is not None:
        return
    plan = case.plan
    yield from _value(case)
    yield from _floors(case)
    if plan.bound > plan.value + _DUST:
        yield Finding(
            "bound-wrong",
            plan.job,
            f"a bound no higher than the value of {plan.value:.6g}",
            f"a bound of {plan.bound:.6g}",
        )


def _floors(case: Case) -> Iterator[Finding]:
    """Yield every term of the plan that is below what it says that no plan goes below."""
    floors = case.plan.floors
    if floors is None:
        return
    terms = side_terms(case.side, case.plan)
    reached = {
        "finish_days": terms.finish_days,
        "closures": float(terms.closures),
        "crew_days": float(len(terms.crew_days)),
        "prelims": terms.prelims,
        "closure_cost": terms.closure_cost,
        "crew_cost": terms.crew_cost,
        "alternative_cost": terms.alternative_cost,
        "cost": terms.cost,
    }
    for name, value in reached.items():
        floor = getattr(floors, name)
        if floor is not None and floor > value + 0.01:
            words = name.replace("_", " ")
            yield Finding(
                "bound-wrong",
                case.plan.job,
                f"a bound on {words} no higher than the {value:.6g} of this plan",
                f"a bound of {floor:.6g}",
            )


def _value(case: Case) -> Iterator[Finding]:
    """Yield a stated value that is wrong; how much a plan changes can't be told from the job alone."""
    plan = case.plan
    if plan.aim is Aim.CHANGE:
        return
    terms = side_terms(case.side, plan)
    value = _weighed(terms, plan) if plan.aim is Aim.COST else terms.value(plan.aim)
    if abs(value - plan.value) > _ROUNDING[plan.aim]:
        unit = {Aim.FINISH: "days", Aim.CLOSURES: "closures", Aim.COST: case.side.job.job.currency}[plan.aim]
        yield Finding(
            "value-wrong",
            plan.job,
            f"the value that the plan comes to, {value:.6g} {unit}",
            f"a stated value of {plan.value:.6g} {unit}",
        )


def _weighed(terms: PlanTerms, plan: Plan) -> float:
    """Return the cost with what was put on its terms, and with as many moves as come nearest to what is stated.

    How many operations have moved can't be told from the job alone.
    """
    unmoved, each = terms.weighed(plan.worths), plan.worths.moved
    if not each:
        return unmoved
    return unmoved + each * max(0, round((plan.value - unmoved) / each))
