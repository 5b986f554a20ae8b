"""What each operation of the job demands, written out a second time from the job alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.model import Conditions, Element, Enclosure, Job, Method, MethodOperation, Release


@dataclass(frozen=True)
class Duty:
    """One operation of one element and what it demands.

    slots: its whole length; least_visit: shortest visit but the last, both in slots.
    lanes: what must be shut while it goes on. product: id in use on this element.
    """

    key: str
    name: str
    element: Element
    skill: str
    slots: int
    least_visit: int
    one_visit: bool
    plant: tuple[str, ...]
    lanes: tuple[str, ...]
    light: str
    conditions: Conditions
    product: str | None
    held_c: float | None = None
    """Temperature [°C] at which a heated enclosure holds the surface."""
    hold_point: str = ""
    release: Release | None = None
    """Who releases the hold point before it, where the job says so."""
    reopening_hold: str = ""

    @property
    def called(self) -> str:
        """The operation's name for people, with its element."""
        return f"“{self.name}” ({self.element.name})"


def duties(job: Job) -> dict[str, Duty]:
    """Return every operation that some element needs, by its key, in the order of the file."""
    found: dict[str, Duty] = {}
    for element in job.elements:
        method = job.method(element.method)
        for operation in method.operations:
            if operation.id not in element.omit:
                duty = _duty(job, element, operation, standing_over(method, operation.id))
                found[duty.key] = duty
    return found


def key_of(element: Element, operation: str) -> str:
    """Return the key of an operation of `element`."""
    return f"{element.id}/{operation}"


def product_used(element: Element, named: str) -> str:
    """Return the product that stands on this element for the one its method names."""
    return element.products.get(named, named)


def standing_over(method: Method, operation: str) -> Enclosure | None:
    """Return the heated enclosure under which an operation is done: its own, else the first that covers it."""
    own = next(one.enclosure for one in method.operations if one.id == operation)
    if own is not None:
        return own
    return next(
        (one.enclosure for one in method.operations if one.enclosure and operation in one.enclosure.covers), None
    )


def _duty(job: Job, element: Element, operation: MethodOperation, over: Enclosure | None) -> Duty:
    product = product_used(element, operation.product) if operation.product is not None else None
    limits = _settled(operation.conditions, job.product(product).conditions if product else Conditions())
    if over is not None and over.sheltered:
        limits = _out_of_wind_and_rain(limits)
    return Duty(
        key=key_of(element, operation.id),
        name=operation.name,
        element=element,
        skill=operation.skill,
        slots=whole_slots(_hours(element, operation)),
        least_visit=whole_slots(operation.min_visit_h),
        one_visit=operation.visits == "one",
        plant=operation.plant,
        lanes=element.lanes if operation.lanes_shut else (),
        light=operation.light,
        conditions=limits,
        product=product,
        held_c=None if over is None else over.surface_c,
        hold_point=operation.hold_point,
        release=_stated_release(job, element, operation),
        reopening_hold=operation.reopening_hold,
    )


def _stated_release(job: Job, element: Element, operation: MethodOperation) -> Release | None:
    """Return who releases an operation's hold point: as the job says, or else the method."""
    of_job = [one for one in job.releases if one.operation == operation.id and element.id in one.elements]
    return of_job[0] if of_job else operation.release


def _hours(element: Element, operation: MethodOperation) -> float:
    """Return the length [h]: typed on the element, else the fixed part and the quantity at the gang's output."""
    typed = element.hours.get(operation.id)
    if typed is not None:
        return typed
    if operation.quantity is None or operation.output_per_h is None:
        return operation.hours
    return operation.hours + element.quantities.get(operation.quantity, 0.0) / operation.output_per_h


def whole_slots(hours: float) -> int:
    """Return hours in quarter-hours, rounded up and at least one; a millionth of a slot is rounding, not work."""
    return max(1, math.ceil(hours * 4 - 1e-6))


def _settled(own: Conditions, product: Conditions) -> Conditions:
    """Return the limits that hold: each one that the operation states, else the product's."""
    limits = {}
    for name in Conditions.model_fields:
        stated = getattr(own, name)
        limits[name] = getattr(product, name) if stated is None else stated
    return Conditions.model_construct(**limits)


def _out_of_wind_and_rain(limits: Conditions) -> Conditions:
    """Return the limits that can still be broken under a shelter: surface, humidity and dew point."""
    stay = ("surface_c", "humidity_max_pct", "dew_margin_c", "protect_h", "protect_min_c")
    return Conditions.model_construct(
        **{name: getattr(limits, name) if name in stay else None for name in Conditions.model_fields}
    )
