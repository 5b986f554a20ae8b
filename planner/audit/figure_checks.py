"""The figures that a plan states about itself are true."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.case import Case
from planner.audit.terms import side_terms
from planner.findings import Finding
from planner.model import Aim

_ROUNDING = {Aim.FINISH: 1e-6, Aim.CLOSURES: 1e-6, Aim.COST: 0.01}
"""What a stated value may be rounded by: a millionth of a day, or the smallest coin."""
_DUST = 1e-6


def check(case: Case) -> Iterator[Finding]:
    """Yield a value that does not match its aim, and a bound above the value."""
    if case.only is not None:
        return
    plan = case.plan
    yield from _value(case)
    if plan.bound > plan.value + _DUST:
        yield Finding(
            "bound-wrong",
            plan.job,
            f"a bound no higher than the value of {plan.value:.6g}",
            f"a bound of {plan.bound:.6g}",
        )


def _value(case: Case) -> Iterator[Finding]:
    """Yield a stated value that is wrong; how much a plan changes can't be told from the job alone."""
    plan = case.plan
    if plan.aim is Aim.CHANGE:
        return
    value = side_terms(case.side, plan).value(plan.aim)
    if abs(value - plan.value) > _ROUNDING[plan.aim]:
        unit = {Aim.FINISH: "days", Aim.CLOSURES: "closures", Aim.COST: case.side.job.job.currency}[plan.aim]
        yield Finding(
            "value-wrong",
            plan.job,
            f"the value that the plan comes to, {value:.6g} {unit}",
            f"a stated value of {plan.value:.6g} {unit}",
        )
