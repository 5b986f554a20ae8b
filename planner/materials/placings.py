"""What each visit of a plan places: its product, demand, packs and mixing at the hour it is planned for."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from planner.audit.chosen import used_in, ways_of, worked_as
from planner.audit.duties import standing_over
from planner.materials.demand import Demand, demand_of
from planner.materials.mixing import Mixing, Warmth, mixing
from planner.materials.packs import Packs, packs_for
from planner.model import Element, Job, Method, MethodOperation, Placement, Plan, Product
from planner.units import SLOT_MINUTES
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class Placing:
    """One visit that places a product; `unstated` says in words what is missing where packs can't be counted.

    share: the part of the operation that this visit does. mixing: None where nothing is mixed to a pot life.
    """

    visit: Placement
    element: Element
    operation: MethodOperation
    product: Product
    share: float
    demand: Demand | None
    packs: Packs | None
    mixing: Mixing | None
    unstated: str = ""


def placings(job: Job, weather: JobWeather, plan: Plan, visits: Iterable[Placement]) -> tuple[Placing, ...]:
    """Return what those of the `visits` of `plan` place that place a product, in the order given."""
    done = worked_as(job, used_in(job, ways_of(plan)))
    return tuple(found for visit in visits for found in _placing(done, weather, plan, visit))


def _placing(job: Job, weather: JobWeather, plan: Plan, visit: Placement) -> Iterator[Placing]:
    owner, _, name = visit.operation.partition("/")
    element = job.element(owner)
    method = job.method(element.method)
    operation = next((one for one in method.operations if one.id == name), None)
    if operation is None or operation.places is None or operation.product is None:
        return
    product = job.product(element.products.get(operation.product, operation.product))
    share = _share(plan, visit)
    whole = demand_of(operation.places, operation.id, element.quantities)
    if whole is None:
        words = f"the element does not state {operation.places.quantity}, nor {operation.id}_l"
        yield Placing(visit, element, operation, product, share, None, None, None, words)
        return
    demand = whole.part(share)
    if product.supply is None:
        words = "the product states no supply (pack, yield or coverage)"
        yield Placing(visit, element, operation, product, share, demand, None, None, words)
        return
    packs = packs_for(product.supply, demand)
    if packs is None:
        words = "the product's supply does not say how far a pack goes here"
        yield Placing(visit, element, operation, product, share, demand, None, None, words)
        return
    mixed = None
    if product.supply.pot_life_min is not None and packs.whole:
        minutes = (visit.finish - visit.start) * SLOT_MINUTES
        mixed = mixing(product.supply, packs, minutes, _warmth(weather, element, method, visit))
    yield Placing(visit, element, operation, product, share, demand, packs, mixed)


def _share(plan: Plan, visit: Placement) -> float:
    """Return the part of its operation that a visit does, by its length."""
    lengths = [one.finish - one.start for one in plan.visits_of(visit.operation)]
    return (visit.finish - visit.start) / sum(lengths)


def _warmth(weather: JobWeather, element: Element, method: Method, visit: Placement) -> Warmth:
    """Return the warmth of the mix: the warmest of air, surface and enclosure, so that no pot life is too long."""
    warm = np.maximum(weather.air_c, weather.surface_c(element))
    over = standing_over(method, visit.operation.partition("/")[2])
    if over is not None:
        warm = np.maximum(warm, over.surface_c)

    def between(start: float, finish: float) -> float:
        last = len(warm) - 1
        first = min(max(visit.start + math.floor(start / SLOT_MINUTES), 0), last)
        after = min(max(visit.start + math.ceil(finish / SLOT_MINUTES), first), last)
        return float(np.max(warm[first : after + 1]))

    return between
