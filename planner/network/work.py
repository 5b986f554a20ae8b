"""The job written out: every operation, gap, exposed stretch and plant hold of every element, keyed ELEMENT/OP."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from planner.cure.gates import codes_of, curing_gap, strength_gap
from planner.model import (
    Conditions,
    Element,
    Enclosure,
    Fit,
    GapCurve,
    Job,
    Light,
    Method,
    MethodGap,
    MethodOperation,
    Release,
)
from planner.model.keys import element_of
from planner.network.curves import constant_curve, held_at, never_shut
from planner.network.options import NOTHING_CHOSEN, Chosen, as_chosen
from planner.units import slots_up


@dataclass(frozen=True)
class Operation:
    """One operation of one element, with lengths in slots and conditions settled.

    lanes: lanes that must be shut while it goes on; empty where none need be.
    enclosed_c: temperature [°C] at which a heated enclosure holds the surface; the conditions are those within it.
    covers: the product that it covers against drying. release: who releases its hold point, where that is planned.
    reopening_hold: what must be released after it, before the lane reopens.
    """

    key: str
    element: str
    structure: str
    name: str
    skill: str
    length: int
    min_visit: int
    splittable: bool
    plant: tuple[str, ...]
    lanes: tuple[str, ...]
    light: Light
    conditions: Conditions
    product: str | None
    hold_point: str
    cautions: tuple[str, ...]
    note: str
    enclosed_c: float | None = None
    covers: str | None = None
    release: Release | None = None
    reopening_hold: str = ""


@dataclass(frozen=True)
class Gap:
    """A gap from an end of operation `after` to an end of operation `before`.

    element: whose surface temperature drives the clocks. product: None for a plain lag or a link.
    gate: what it waits for, such as "30 MPa", where that is not a curve of the product or typed hours.
    """

    after: str
    before: str
    after_end: str
    before_end: str
    curve: GapCurve
    element: str
    product: str | None
    remedy: str
    gate: str = ""

    @property
    def key(self) -> str:
        """Name of the gap for people and machines: "ELEMENT/OP > ELEMENT/OP", and the gate where it is one."""
        return f"{self.after} > {self.before}" + (f" at {self.gate}" if self.gate else "")


@dataclass(frozen=True)
class Stretch:
    """An exposed stretch of one element; `fit` are gaps' openings that must have come before reopening."""

    element: str
    name: str
    first: str
    last: str
    inside: tuple[str, ...]
    lanes: tuple[str, ...]
    fit: tuple[tuple[str, GapCurve, str], ...]
    """(operation key, curve, product id): fit for traffic when the opening clock from its finish is full."""
    plates: tuple[int, int] | None = None
    """Slots for lifting and for laying plates at the ends of each closure, where the stretch may be interrupted."""


@dataclass(frozen=True)
class Hold:
    """One unit of `plant` tied up from the start of `first` to the finish of `last`."""

    plant: str
    first: str
    last: str


@dataclass(frozen=True)
class Work:
    """The whole job written out, in the order of the file."""

    operations: tuple[Operation, ...]
    follows: tuple[tuple[str, str], ...]
    """Pairs (before, after): the second may not start before the first has finished."""
    gaps: tuple[Gap, ...]
    stretches: tuple[Stretch, ...]
    holds: tuple[Hold, ...]

    def operation(self, key: str) -> Operation:
        """Return the operation called `key`; KeyError if there is none."""
        for operation in self.operations:
            if operation.key == key:
                return operation
        raise KeyError(key)


def write_out(job: Job, chosen: Chosen = NOTHING_CHOSEN) -> Work:
    """Return all the work of a validated `job`, done as `chosen` says where it leaves a choice."""
    job = as_chosen(job, chosen)
    operations: list[Operation] = []
    follows: list[tuple[str, str]] = []
    gaps: list[Gap] = []
    stretches: list[Stretch] = []
    holds: list[Hold] = []
    for element in job.elements:
        method = job.method(element.method)
        kept = [op for op in method.operations if op.id not in element.omit]
        enclosed = enclosures(method)
        operations += [_operation(job, element, op, enclosed.get(op.id)) for op in kept]
        follows += _follows(element, method)
        gaps += _gaps(job, element, method)
        stretches += _stretches(job, element, method)
        holds += [
            Hold(hold.plant, f"{element.id}/{hold.first}", f"{element.id}/{hold.last}")
            for hold in method.plant_holds
            if hold.first not in element.omit and hold.last not in element.omit
        ]
    gaps += _links(job)
    follows += [(link.after, link.before) for link in job.links]
    return Work(tuple(operations), tuple(follows), tuple(gaps), tuple(stretches), tuple(holds))


def length_h(element: Element, operation: MethodOperation) -> float:
    """Return the operation's length [h] on this element: its own hours, or fixed part plus quantity / output."""
    if operation.id in element.hours:
        return element.hours[operation.id]
    quantity = element.quantities.get(operation.quantity, 0.0) if operation.quantity else 0.0
    return operation.hours + (quantity / operation.output_per_h if operation.output_per_h else 0.0)


def product_of(element: Element, product: str) -> str:
    """Return the product id that this element uses where its method says `product`."""
    return element.products.get(product, product)


def enclosures(method: Method) -> dict[str, Enclosure]:
    """Return the heated enclosure that stands over each operation of a method, by its id."""
    found: dict[str, Enclosure] = {}
    for operation in method.operations:
        if operation.enclosure is not None:
            for name in (operation.id, *operation.enclosure.covers):
                found.setdefault(name, operation.enclosure)
    return found


@lru_cache(maxsize=1024)
def _conditions(own: Conditions, base: Conditions, enclosure: Enclosure | None) -> Conditions:
    """Return the conditions of an operation over its product's, as far as an enclosure leaves any; remembered."""
    return _within(enclosure, own.over(base))


def _within(enclosure: Enclosure | None, conditions: Conditions) -> Conditions:
    """Return what an enclosure leaves of the conditions: sheltered, those of surface and humidity."""
    if enclosure is None or not enclosure.sheltered:
        return conditions
    kept_out = {"air_c": None, "wind_max_ms": None, "dry": None, "rain_free_h": None}
    return conditions.model_copy(update=kept_out)


def _operation(job: Job, element: Element, operation: MethodOperation, enclosure: Enclosure | None) -> Operation:
    product = product_of(element, operation.product) if operation.product else None
    base = job.product(product).conditions if product else Conditions()
    return Operation(
        key=f"{element.id}/{operation.id}",
        element=element.id,
        structure=element.structure,
        name=operation.name,
        skill=operation.skill,
        length=max(1, slots_up(length_h(element, operation))),
        min_visit=max(1, slots_up(operation.min_visit_h)),
        splittable=operation.visits == "many",
        plant=operation.plant,
        lanes=element.lanes if operation.lanes_shut else (),
        light=operation.light,
        conditions=_conditions(operation.conditions, base, enclosure),
        product=product,
        hold_point=operation.hold_point,
        cautions=operation.cautions,
        note=operation.note,
        enclosed_c=enclosure.surface_c if enclosure else None,
        covers=product_of(element, operation.covers) if operation.covers else None,
        release=job.release_for(element.id, operation),
        reopening_hold=operation.reopening_hold,
    )


def _follows(element: Element, method: Method) -> Iterator[tuple[str, str]]:
    """Yield (before, after) keys; an omitted operation hands its own forerunners on to what follows it."""
    forerunners: dict[str, tuple[str, ...]] = {}
    previous: tuple[str, ...] = ()
    for operation in method.operations:
        forerunners[operation.id] = previous if operation.follows is None else operation.follows
        previous = (operation.id,)
    for operation in method.operations:
        if operation.id not in element.omit:
            for name in dict.fromkeys(_standing(operation.id, forerunners, element.omit, frozenset())):
                yield f"{element.id}/{name}", f"{element.id}/{operation.id}"


def _standing(
    name: str, forerunners: dict[str, tuple[str, ...]], omitted: tuple[str, ...], passed: frozenset[str]
) -> Iterator[str]:
    """Yield the kept operations before `name`, looking through omitted ones, listed before it or after it."""
    for before in forerunners.get(name, ()):
        if before not in omitted:
            yield before
        elif before not in passed:
            yield from _standing(before, forerunners, omitted, passed | {before})


def _gaps(job: Job, element: Element, method: Method) -> Iterator[Gap]:
    enclosed = enclosures(method)
    for gap in method.gaps:
        if gap.after in element.omit or gap.before in element.omit:
            continue
        product = product_of(element, gap.product) if gap.product else None
        for gate, curve in _demands(job, gap, product):
            yield Gap(
                after=f"{element.id}/{gap.after}",
                before=f"{element.id}/{gap.before}",
                after_end=gap.after_end,
                before_end=gap.before_end,
                curve=held_at(curve, enclosed.get(gap.after)),
                element=element.id,
                product=product,
                remedy=gap.remedy,
                gate=gate,
            )


def _demands(job: Job, demand: MethodGap | Fit, product: str | None) -> Iterator[tuple[str, GapCurve]]:
    """Yield (gate, curve) for each thing that one gap or fit waits for; all of them must be open.

    A product that says nothing of its strength is held to the curve alone.
    """
    if product is None:
        if isinstance(demand, MethodGap) and (demand.not_before_h or demand.shuts):
            yield "", constant_curve(demand.not_before_h, demand.not_after_h if demand.shuts else None)
        return
    material, codes = job.product(product), codes_of(job)
    if demand.curve is not None:
        yield from _of_sheet(material.curves[demand.curve], isinstance(demand, Fit) or demand.shuts)
    if demand.strength_mpa is not None:
        curve = strength_gap(material, demand.strength_mpa, codes)
        if curve is not None:
            yield f"{demand.strength_mpa:g} MPa", curve
    if isinstance(demand, MethodGap) and demand.curing_class is not None:
        curve = curing_gap(material, demand.curing_class, codes)
        if curve is not None:
            yield f"curing class {demand.curing_class}", curve


def _of_sheet(curve: GapCurve, shuts: bool) -> Iterator[tuple[str, GapCurve]]:
    """Yield a data sheet's curve, without its shutting end where that does not count."""
    if shuts or curve.not_after is None:
        yield "", curve
    elif curve.not_before is not None:
        yield "", never_shut(curve)


def _stretches(job: Job, element: Element, method: Method) -> Iterator[Stretch]:
    if element.held or not element.lanes:
        return
    order = [op.id for op in method.operations]
    enclosed = enclosures(method)
    for stretch in method.exposed:
        span = order[order.index(stretch.first) : order.index(stretch.last) + 1]
        inside = tuple(f"{element.id}/{name}" for name in span if name not in element.omit)
        if not inside:
            continue
        fit = tuple(
            (f"{element.id}/{fit.after}", held_at(curve, enclosed.get(fit.after)), product)
            for fit in stretch.fit
            if fit.after not in element.omit
            for product in (product_of(element, fit.product),)
            for _, curve in _demands(job, fit, product)
        )
        plates = stretch.plates
        margins = (slots_up(plates.lift_min / 60), slots_up(plates.lay_min / 60)) if plates else None
        yield Stretch(element.id, stretch.name, inside[0], inside[-1], inside, element.lanes, fit, margins)


def _links(job: Job) -> Iterator[Gap]:
    for link in job.links:
        if not link.not_before_h and link.not_after_h is None:
            continue
        yield Gap(
            after=link.after,
            before=link.before,
            after_end="finish",
            before_end="start",
            curve=constant_curve(link.not_before_h, link.not_after_h),
            element=element_of(link.before),
            product=None,
            remedy=link.reason,
        )
