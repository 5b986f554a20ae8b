"""Which alternatives and remedies a plan uses, read from its placements, and the job as it is with them.

Stated a second time from the job alone: an operation done by an alternative demands what the alternative says, and
a gap mended by its remedy no longer shuts, but has the remedy's work in it; where that renews the gap, it counts anew
from there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from planner.audit.duties import key_of, product_used
from planner.model import Alternative, Element, Fit, Job, Method, MethodGap, MethodOperation, Plan, Remedy

_Demand = TypeVar("_Demand", MethodGap, Fit)


@dataclass(frozen=True)
class Used:
    """One alternative (`way` its id) or remedy (`way` None) that a plan uses, and what it costs [money]."""

    operation: str
    way: str | None
    name: str
    cost: float


def ways_of(plan: Plan) -> frozenset[tuple[str, str | None]]:
    """Return the (operation, alternative) pairs of a plan that could be a choice: remedies have no alternative."""
    return frozenset((placed.operation, placed.alternative) for placed in plan.placements)


def used_in(job: Job, ways: Iterable[tuple[str, str | None]]) -> tuple[Used, ...]:
    """Return the alternatives and remedies among `ways`, in file order."""
    taken = set(ways)
    return tuple(
        used for element in job.elements for used in _offers(job, element) if (used.operation, used.way) in taken
    )


def worked_as(job: Job, used: Iterable[Used]) -> Job:
    """Return the job whose elements' methods say what `used` makes of them."""
    by_element: dict[str, dict[str, Used]] = {}
    for one in used:
        owner, _, operation = one.operation.partition("/")
        by_element.setdefault(owner, {})[operation] = one
    if not by_element:
        return job
    methods, elements = list(job.methods), []
    for element in job.elements:
        own = by_element.get(element.id)
        if own:
            method = _rewritten(job, element, own)
            methods.append(method)
            own_parts = {"method": method.id, "hours": _hours_left(job, element, own), "products": {}}
            element = element.model_copy(update=own_parts)
        elements.append(element)
    return job.model_copy(update={"methods": tuple(methods), "elements": tuple(elements)})


def _offers(job: Job, element: Element) -> Iterator[Used]:
    method = job.method(element.method)
    for operation in method.operations:
        for way in job.alternatives_for(element, operation) if operation.id not in element.omit else ():
            amount = element.quantities.get(operation.quantity or "", 0.0)
            yield Used(key_of(element, operation.id), way.id, way.name, way.cost + amount * way.cost_per_unit)
    for gap in method.gaps:
        remedy = job.remedy_for(element, gap)
        if remedy is not None and not {gap.after, gap.before} & set(element.omit):
            yield Used(key_of(element, remedy.id), None, remedy.name, remedy.cost)


def _way(job: Job, element: Element, operation: MethodOperation, own: Mapping[str, Used]) -> Alternative | None:
    used = own.get(operation.id)
    if used is None or used.way is None:
        return None
    return next(way for way in job.alternatives_for(element, operation) if way.id == used.way)


def _hours_left(job: Job, element: Element, own: Mapping[str, Used]) -> dict[str, float]:
    """Return the element's typed hours, without those of operations whose alternative brings a length of its own."""
    hours = dict(element.hours)
    for operation in job.method(element.method).operations:
        way = _way(job, element, operation, own)
        if way is not None and (way.hours is not None or way.output_per_h is not None):
            hours.pop(operation.id, None)
    return hours


def _rewritten(job: Job, element: Element, own: Mapping[str, Used]) -> Method:
    method = _on_element(job.method(element.method), element)
    ways = {operation.id: _way(job, element, operation, own) for operation in method.operations}
    swaps = {
        operation.id: (operation.product, way.product)
        for operation in method.operations
        if (way := ways[operation.id]) is not None and way.product is not None
    }
    mended = {
        (gap.after, gap.before): remedy
        for gap in method.gaps
        if (remedy := job.remedy_for(element, gap)) is not None and remedy.id in own and own[remedy.id].way is None
    }
    plates = {
        way.plating.stretch: way.plating for way in ways.values() if way is not None and way.plating is not None
    }
    return method.model_copy(
        update={
            "id": f"{method.id} on {element.id}",
            "operations": tuple(_operations(method, ways, mended)),
            "gaps": tuple(_gaps(method, swaps, mended)),
            "exposed": tuple(
                stretch.model_copy(
                    update={
                        "fit": tuple(_swapped(fit, swaps) for fit in stretch.fit),
                        "plates": plates.get(stretch.name, stretch.plates),
                    }
                )
                for stretch in method.exposed
            ),
        }
    )


def _on_element(method: Method, element: Element) -> Method:
    """Return the method naming the products that stand on this element, so that they are replaced only once."""
    instead = element.products
    operations, gaps, exposed = [], [], []
    for operation in method.operations:
        operations.append(
            operation.model_copy(update={"product": instead.get(operation.product or "", operation.product)})
        )
    for gap in method.gaps:
        gaps.append(gap.model_copy(update={"product": instead.get(gap.product or "", gap.product)}))
    for stretch in method.exposed:
        fit = tuple(one.model_copy(update={"product": product_used(element, one.product)}) for one in stretch.fit)
        exposed.append(stretch.model_copy(update={"fit": fit}))
    return method.model_copy(update={"operations": tuple(operations), "gaps": tuple(gaps), "exposed": tuple(exposed)})


def _operations(
    method: Method, ways: Mapping[str, Alternative | None], mended: Mapping[tuple[str, str], Remedy]
) -> Iterator[MethodOperation]:
    """Yield the operations as done, each remedy before the one that it lets go on; all say what they follow."""
    listed_before: tuple[str, ...] = ()
    for operation in method.operations:
        follows = list(listed_before if operation.follows is None else operation.follows)
        for (after, before), remedy in mended.items():
            if before == operation.id:
                yield _mending(remedy, after)
                follows.append(remedy.id)
        way = ways[operation.id]
        changed = {"follows": tuple(follows), **({} if way is None else _changes(operation, way))}
        yield operation.model_copy(update=changed)
        listed_before = (operation.id,)


def _changes(operation: MethodOperation, way: Alternative) -> dict[str, object]:
    changes: dict[str, object] = {"plant": (*operation.plant, *(p for p in way.plant if p not in operation.plant))}
    for name in ("product", "hours", "enclosure"):
        if getattr(way, name) is not None:
            changes[name] = getattr(way, name)
    if way.output_per_h is not None and operation.quantity is not None:
        changes["output_per_h"] = way.output_per_h
    stated = {name: value for name, value in way.conditions if value is not None}
    changes["conditions"] = operation.conditions.model_copy(update=stated)
    return changes


def _mending(remedy: Remedy, after: str) -> MethodOperation:
    shared = set(Remedy.model_fields) & set(MethodOperation.model_fields)
    return MethodOperation.model_construct(**{name: getattr(remedy, name) for name in shared}, follows=(after,))


def _gaps(
    method: Method, swaps: Mapping[str, tuple[str | None, str]], mended: Mapping[tuple[str, str], Remedy]
) -> Iterator[MethodGap]:
    for gap in method.gaps:
        remedy = mended.get((gap.after, gap.before))
        swapped = _swapped(gap, swaps)
        if remedy is None:
            yield swapped
        else:
            yield swapped.model_copy(update={"before": remedy.id, "before_end": "start", "shuts": False})
            if remedy.renews:
                yield swapped.model_copy(update={"after": remedy.id})
    for (_, before), remedy in mended.items():
        if remedy.curve is not None:
            yield MethodGap(after=remedy.id, before=before, product=remedy.product, curve=remedy.curve)


def _swapped(demand: _Demand, swaps: Mapping[str, tuple[str | None, str]]) -> _Demand:
    """Return a demand measured from an operation with another product, if it asked for the product replaced."""
    named, instead = swaps.get(demand.after, (None, ""))
    return demand.model_copy(update={"product": instead}) if named and demand.product == named else demand
