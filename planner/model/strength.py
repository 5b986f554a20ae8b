"""How a product gains strength: a 28-day strength with its coefficient s, or test results typed in."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from planner.model.base import Celsius, Hours, Number, Part, as_tuple

MegaPascal = Annotated[Number, Field(gt=0, le=250)]
CodeId = Literal["en", "din", "aci"]
"""Named sets of rules for maturity, curing, cold and heat."""
LawId = Literal["en-b10", "c1074", "saul", "fhp"]
"""Named laws of how fast concrete hardens at a temperature."""
Development = Literal["rapid", "medium", "slow", "very-slow"]
"""Strength development by r = mean strength at 2 days / at 28 days, 20 °C: from 0.50, 0.30, 0.15, below that."""
CuringClass = Literal[1, 2, 3, 4]


def _refuse_truth(value: Any) -> Any:
    """`true` equals 1 in Python, and class 1 is the shortest: no class is meant by it."""
    if isinstance(value, bool):
        raise ValueError("a curing class is 1, 2, 3 or 4")
    return value


TypedClass = Annotated[CuringClass, BeforeValidator(_refuse_truth)]
"""A curing class as a file gives it."""

Test = Annotated[tuple[Hours, Celsius, MegaPascal], as_tuple()]


class Strength(Part):
    """Strength against age: either `fcm28_mpa` with `s`, or `tests` from which both are fitted.

    fcm28_mpa: mean compressive strength at 28 days [MPa] at the reference temperature of the job's code set.
    s: coefficient of EN 1992-1-1:2004 eq. 3.2: 0.20 rapid, 0.25 normal, 0.38 slow cement; rapid mortars less.
    tests: ((age [h], temperature it was kept at [°C], strength [MPa]), …): mean results of cubes or prisms.
    maturity: the law in place of the code set's. activation_kj_mol: Arrhenius with this activation energy instead.
    """

    fcm28_mpa: MegaPascal | None = None
    s: Annotated[Number, Field(ge=0.02, le=1.2)] | None = None
    tests: Annotated[tuple[Test, ...], as_tuple()] = ()
    maturity: LawId | None = None
    activation_kj_mol: Annotated[Number, Field(ge=15, le=90)] | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        typed = self.fcm28_mpa is not None or self.s is not None
        if (self.fcm28_mpa is None) != (self.s is None):
            raise ValueError("fcm28_mpa and s go together")
        if typed == bool(self.tests):
            raise ValueError("a strength needs either fcm28_mpa and s, or tests")
        if self.maturity is not None and self.activation_kj_mol is not None:
            raise ValueError("activation_kj_mol makes a law of its own: not together with maturity")
        return self

    @model_validator(mode="after")
    def _tests_can_be_fitted(self) -> Self:
        if not self.tests:
            return self
        if any(age_h < 0.5 for age_h, _, _ in self.tests):
            raise ValueError("tests: ages [h] must be at least 0.5")
        if any(not 0 < kept_c <= 60 for _, kept_c, _ in self.tests):
            raise ValueError("tests: specimens must have been kept above 0 and up to 60 °C")
        ages = {age_h for age_h, _, _ in self.tests}
        if len(ages) < 2:
            raise ValueError("tests: at least two ages, or the curve can't be fitted")
        if max(ages) < 1.5 * min(ages):
            raise ValueError("tests: the oldest must be at least one and a half times as old as the youngest")
        return self
