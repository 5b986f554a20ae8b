"""The pours of a plan: each element's work with one cement-bound product, visit by visit, with its temperatures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from planner.cure.codes import CodeSet
from planner.cure.gates import codes_of, curve_of
from planner.cure.maturity import MaturityLaw
from planner.cure.rates import Floats
from planner.cure.strength import StrengthCurve, law_of
from planner.model import Element, Job, Placement, Plan, Product
from planner.network.work import Operation, write_out
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True, eq=False)
class Pour:
    """All visits of one element with one cement-bound product, in order of time.

    curve, law: how the product hardens; curve is None where it does not say.
    surface_c: of the element at the slot boundaries [°C], shape (H + 1,).
    covered: slots at which a covering against drying is done, such as wet hessian or curing compound.
    """

    element: Element
    product: Product
    codes: CodeSet
    curve: StrengthCurve | None
    law: MaturityLaw
    visits: tuple[Placement, ...]
    weather: JobWeather
    surface_c: Floats
    covered: tuple[int, ...] = ()

    @property
    def concrete_c(self) -> Floats:
        """The fresh mortar taken as warm as the warmer of surface and air [°C], shape (H + 1,)."""
        return np.maximum(self.surface_c, self.weather.air_c)

    @property
    def horizon(self) -> int:
        """Number of slots of the job."""
        return len(self.surface_c) - 1


def pours(job: Job, weather: JobWeather, plan: Plan) -> Iterator[Pour]:
    """Yield every pour of the plan, in the order of the file; visits outside the job's days are left out."""
    horizon = job.time.horizon
    grouped: dict[tuple[str, str], list[Placement]] = {}
    work = write_out(job).operations
    for operation in work:
        if operation.product is not None and _is_cement(job, operation):
            visits = grouped.setdefault((operation.element, operation.product), [])
            visits += [one for one in plan.visits_of(operation.key) if 0 <= one.start < one.finish <= horizon]
    codes = codes_of(job)
    for (element_id, product_id), visits in grouped.items():
        if visits:
            element, product = job.element(element_id), job.product(product_id)
            yield Pour(
                element=element,
                product=product,
                codes=codes,
                curve=curve_of(product, codes),
                law=law_of(product.strength, codes.law) if product.strength is not None else codes.law,
                visits=tuple(sorted(visits, key=lambda visit: visit.start)),
                weather=weather,
                surface_c=weather.surface_c(element),
                covered=_covered(work, plan, element_id, product_id),
            )


def _covered(work: tuple[Operation, ...], plan: Plan, element: str, product: str) -> tuple[int, ...]:
    """Return the finishes of the element's operations that cover this product."""
    covering = [one.key for one in work if (one.element, one.covers) == (element, product)]
    return tuple(max(visit.finish for visit in visits) for key in covering if (visits := plan.visits_of(key)))


def _is_cement(job: Job, operation: Operation) -> bool:
    """Cement is what its caution says, or what states a strength."""
    stated = operation.product is not None and job.product(operation.product).strength is not None
    return stated or "cement" in operation.cautions
