"""What a job leaves to be chosen, and the job as it is once that is settled: an ordinary job without a choice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import TypeVar

from planner.calendars.shifts import shift_times
from planner.model import Alternative, Element, Fit, Job, Method, MethodGap, MethodOperation, Plan, Remedy
from planner.model.keys import element_of

Demand = TypeVar("Demand", MethodGap, Fit)
Named = TypeVar("Named", MethodOperation, MethodGap, Fit)
REMEDY = "remedy"
"""What is chosen for a remedy's own key; an operation's key is given the id of one of its alternatives."""
OVERTIME = "overtime"
"""What is chosen for a gang's id where it may work past the finish of its shifts."""
Chosen = Mapping[str, str]
NOTHING_CHOSEN: Chosen = {}


@dataclass(frozen=True)
class Option:
    """One thing that may be chosen: an alternative of operation `key`, remedy work `key`, or overtime of gang `key`.

    element: whose it is; "" for overtime. before: what a remedy lets go on. cost: money if chosen.
    """

    key: str
    choice: str
    element: str
    name: str
    cost: float
    before: str = ""


def options_of(job: Job) -> tuple[Option, ...]:
    """Return all that may be chosen, in file order."""
    return (*chain.from_iterable(_element_options(job, element) for element in job.elements), *_overtime(job))


def _overtime(job: Job) -> Iterator[Option]:
    for gang in job.gangs:
        if any(shift.overtime_h for shift in gang.shifts):
            yield Option(gang.id, OVERTIME, "", f"Overtime of {gang.name}", 0.0)


def chosen_cost(job: Job, chosen: Chosen) -> float:
    """Return what the alternatives and remedies in `chosen` cost [money]."""
    return sum(option.cost for option in options_of(job) if chosen.get(option.key) == option.choice)


def chosen_in(job: Job, plan: Plan) -> Chosen:
    """Return the alternatives and remedies that a plan's placements name, as far as the job offers them."""
    named = {placed.operation: placed.alternative or REMEDY for placed in plan.placements}
    return {option.key: option.choice for option in options_of(job) if named.get(option.key) == option.choice}


def overtime_in(job: Job, plan: Plan) -> Chosen:
    """Return the overtime that a plan works: of each gang that has a visit past the finish of its shift."""
    found: dict[str, str] = {}
    for option in _overtime(job):
        late = [shift for shift in shift_times(job.gang(option.key), job) if shift.overtime]
        ends = [placed.finish for placed in plan.placements if placed.gang == option.key]
        if any(one.interval.finish < end <= one.with_overtime.finish for one in late for end in ends):
            found[option.key] = option.choice
    return found


def as_chosen(job: Job, chosen: Chosen) -> Job:
    """Return the job in which what was chosen has become the method of its element; the rest is left as it is.

    Each element with a choice gets a method of its own. Keys that the job does not offer are a KeyError.
    """
    if not chosen:
        return job
    unknown = dict(chosen)
    for option in options_of(job):
        if unknown.get(option.key) == option.choice:
            del unknown[option.key]
    if unknown:
        raise KeyError(", ".join(f"{key}: {choice}" for key, choice in unknown.items()))
    elements, methods = [], list(job.methods)
    for element in job.elements:
        own = {key.partition("/")[2]: choice for key, choice in chosen.items() if element_of(key) == element.id}
        if own:
            element, method = _settled(job, element, own)
            methods.append(method)
        elements.append(element)
    return job.model_copy(update={"elements": tuple(elements), "methods": tuple(methods)})


def _element_options(job: Job, element: Element) -> Iterator[Option]:
    method = job.method(element.method)
    for operation in method.operations:
        if operation.id in element.omit:
            continue
        for one in job.alternatives_for(element, operation):
            amount = element.quantities.get(operation.quantity, 0.0) if operation.quantity else 0.0
            cost = one.cost + one.cost_per_unit * amount
            yield Option(f"{element.id}/{operation.id}", one.id, element.id, one.name, cost)
    for gap in method.gaps:
        remedy = job.remedy_for(element, gap)
        if remedy is not None and gap.after not in element.omit and gap.before not in element.omit:
            key, before = f"{element.id}/{remedy.id}", f"{element.id}/{gap.before}"
            yield Option(key, REMEDY, element.id, remedy.name, remedy.cost, before)


def _settled(job: Job, element: Element, own: Chosen) -> tuple[Element, Method]:
    """Return the element and its own method, with what `own` says by operation id."""
    method = _substituted(job.method(element.method), element)
    element = element.model_copy(update={"products": {}})
    for operation in method.operations:
        if operation.id in own:
            offers = {one.id: one for one in job.alternatives_for(element, operation)}
            element, method = _with_alternative(element, method, operation, offers[own[operation.id]])
    for gap in job.method(element.method).gaps:
        remedy = job.remedy_for(element, gap)
        if remedy is not None and own.get(remedy.id) == REMEDY:
            method = _with_remedy(method, gap.after, gap.before, remedy)
    id = f"{method.id}@{element.id}"
    return element.model_copy(update={"method": id}), method.model_copy(update={"id": id})


def _substituted(method: Method, element: Element) -> Method:
    """Return the method with the element's own products in place of those that it names."""

    def swapped(part: Named) -> Named:
        return part.model_copy(update={"product": element.products.get(part.product or "", part.product)})

    exposed = (s.model_copy(update={"fit": tuple(swapped(fit) for fit in s.fit)}) for s in method.exposed)
    return method.model_copy(
        update={
            "operations": tuple(swapped(operation) for operation in method.operations),
            "gaps": tuple(swapped(gap) for gap in method.gaps),
            "exposed": tuple(exposed),
        }
    )


def _with_alternative(
    element: Element, method: Method, operation: MethodOperation, chosen: Alternative
) -> tuple[Element, Method]:
    product = chosen.product or operation.product
    done = operation.model_copy(
        update={
            "product": product,
            "hours": operation.hours if chosen.hours is None else chosen.hours,
            "output_per_h": chosen.output_per_h
            if chosen.output_per_h and operation.quantity
            else operation.output_per_h,
            "plant": tuple(dict.fromkeys((*operation.plant, *chosen.plant))),
            "conditions": chosen.conditions.over(operation.conditions),
            "enclosure": chosen.enclosure or operation.enclosure,
        }
    )
    if chosen.hours is not None or chosen.output_per_h is not None:
        hours = {name: typed for name, typed in element.hours.items() if name != operation.id}
        element = element.model_copy(update={"hours": hours})

    def governed(demand: Demand) -> Demand:
        ours = demand.after == operation.id and demand.product is not None and demand.product == operation.product
        return demand.model_copy(update={"product": product}) if ours else demand

    exposed = [
        stretch.model_copy(
            update={
                "fit": tuple(governed(fit) for fit in stretch.fit),
                "plates": chosen.plating
                if chosen.plating is not None and chosen.plating.stretch == stretch.name
                else stretch.plates,
            }
        )
        for stretch in method.exposed
    ]
    return element, method.model_copy(
        update={
            "operations": tuple(done if one.id == operation.id else one for one in _ordered(method)),
            "gaps": tuple(governed(gap) for gap in method.gaps),
            "exposed": tuple(exposed),
        }
    )


def _ordered(method: Method) -> Iterator[MethodOperation]:
    """Yield the operations with what they follow written out, so that others can be put between them."""
    before: tuple[str, ...] = ()
    for operation in method.operations:
        follows = before if operation.follows is None else operation.follows
        yield operation.model_copy(update={"follows": follows})
        before = (operation.id,)


def _with_remedy(method: Method, after: str, before: str, remedy: Remedy) -> Method:
    """Return the method with the remedy's work between two operations; their gap opens before it and never shuts.

    Where the remedy renews it, it counts from there too, with both its ends.
    """
    work = MethodOperation.model_construct(
        id=remedy.id,
        name=remedy.name,
        skill=remedy.skill,
        hours=remedy.hours,
        quantity=remedy.quantity,
        output_per_h=remedy.output_per_h,
        follows=(after,),
        product=remedy.product,
        plant=remedy.plant,
        lanes_shut=remedy.lanes_shut,
        conditions=remedy.conditions,
        note=remedy.note,
    )
    operations: list[MethodOperation] = []
    for operation in _ordered(method):
        if operation.id == before:
            operations.append(work)
            operation = operation.model_copy(update={"follows": (*(operation.follows or ()), remedy.id)})
        operations.append(operation)
    return method.model_copy(
        update={"operations": tuple(operations), "gaps": tuple(_remedied(method, after, before, remedy))}
    )


def _remedied(method: Method, after: str, before: str, remedy: Remedy) -> Iterator[MethodGap]:
    for gap in method.gaps:
        if (gap.after, gap.before) != (after, before):
            yield gap
        else:
            yield gap.model_copy(update={"before": remedy.id, "before_end": "start", "shuts": False})
            if remedy.renews:
                yield gap.model_copy(update={"after": remedy.id})
    if remedy.curve is not None:
        yield MethodGap(after=remedy.id, before=before, product=remedy.product, curve=remedy.curve)
