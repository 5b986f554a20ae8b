"""What ties operations together: orders, gaps, exposed stretches and plant holds, from the job alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.audit.duties import key_of, product_used, standing_over
from planner.audit.gates import Gate, gates
from planner.model import Element, Fit, GapCurve, Job, Link, Method, MethodGap, Plates


@dataclass(frozen=True)
class Order:
    """Operation `later` may not start before `earlier` has finished. linked: by a link, for `reason`."""

    earlier: str
    later: str
    linked: bool = False
    reason: str = ""


@dataclass(frozen=True)
class Wait:
    """A gap from an end of `after` to an end of `before`: a product's curve, a gate, or typed hours.

    element: whose surface drives the clocks. least_h, most_h: typed hours where there is neither curve nor gate.
    held_c: temperature [°C] of the heated enclosure under which it is waited.
    """

    after: str
    before: str
    after_end: str
    before_end: str
    element: Element
    product: str | None
    curve: GapCurve | None
    least_h: float | None
    most_h: float | None
    remedy: str
    gate: Gate | None = None
    held_c: float | None = None

    @property
    def key(self) -> str:
        """Name of the gap: "ELEMENT/OP > ELEMENT/OP", and what it waits for where that is a gate."""
        return f"{self.after} > {self.before}" + (f" at {self.gate.name}" if self.gate else "")


@dataclass(frozen=True)
class Layer:
    """A placed layer that must be fit for traffic: so long after `operation` as `ready` says; held_c as for a gap."""

    operation: str
    product: str
    ready: GapCurve | Gate
    held_c: float | None = None


@dataclass(frozen=True)
class Exposure:
    """Operations between which the lanes can't be reopened, nor before each layer is fit."""

    name: str
    element: Element
    inside: tuple[str, ...]
    fit: tuple[Layer, ...]
    plates: Plates | None = None


@dataclass(frozen=True)
class Tied:
    """One unit of `plant` is tied up from the start of `first` to the finish of `last`, for those `inside`."""

    plant: str
    first: str
    last: str
    inside: tuple[str, ...]


def orders(job: Job) -> tuple[Order, ...]:
    """Return every order of the job, by methods and by links."""
    found = [order for element in job.elements for order in _element_orders(element, job.method(element.method))]
    return (*found, *(Order(link.after, link.before, True, link.reason) for link in job.links))


def waits(job: Job) -> tuple[Wait, ...]:
    """Return every gap of the job; links with hours come last."""
    found = [
        wait
        for element in job.elements
        for gap in job.method(element.method).gaps
        if gap.after not in element.omit and gap.before not in element.omit
        for wait in _waits(job, element, gap)
    ]
    return (
        *found,
        *(_link_wait(job, link) for link in job.links if link.not_before_h or link.not_after_h is not None),
    )


def exposures(job: Job) -> tuple[Exposure, ...]:
    """Return every exposed stretch that applies: on elements in a lane whose traffic is not held."""
    return tuple(
        exposure
        for element in job.elements
        if element.lanes and not element.held
        for exposure in _element_exposures(job, element)
    )


def holds(job: Job) -> tuple[Tied, ...]:
    """Return every plant hold whose first and last operations the element needs."""
    return tuple(
        Tied(
            hold.plant,
            key_of(element, hold.first),
            key_of(element, hold.last),
            _span(element, job.method(element.method), hold.first, hold.last),
        )
        for element in job.elements
        for hold in job.method(element.method).plant_holds
        if hold.first not in element.omit and hold.last not in element.omit
    )


def _element_orders(element: Element, method: Method) -> Iterator[Order]:
    named = _named_forerunners(method)
    for operation in method.operations:
        if operation.id in element.omit:
            continue
        for earlier in dict.fromkeys(_needed(operation.id, named, element.omit)):
            yield Order(key_of(element, earlier), key_of(element, operation.id))


def _named_forerunners(method: Method) -> dict[str, tuple[str, ...]]:
    """Return for each operation those it names, or the one listed before it."""
    named: dict[str, tuple[str, ...]] = {}
    before: tuple[str, ...] = ()
    for operation in method.operations:
        named[operation.id] = before if operation.follows is None else operation.follows
        before = (operation.id,)
    return named


def _needed(operation: str, named: dict[str, tuple[str, ...]], omitted: tuple[str, ...]) -> Iterator[str]:
    """Yield the operations that must be finished first, looking through those left out to what they follow."""
    ahead, seen = list(named.get(operation, ())), {operation}
    while ahead:
        earlier = ahead.pop(0)
        if earlier in seen:
            continue
        seen.add(earlier)
        if earlier in omitted:
            ahead += named.get(earlier, ())
        else:
            yield earlier


def _waits(job: Job, element: Element, gap: MethodGap) -> Iterator[Wait]:
    """Yield one for the hours or the curve, and one for each gate."""
    if gap.product is None:
        if gap.not_before_h or gap.shuts:
            yield _wait(job, element, gap)
        return
    product = product_used(element, gap.product)
    for ready in _ready(job, gap, product):
        if not isinstance(ready, GapCurve):
            yield _wait(job, element, gap, product, gate=ready)
            continue
        curve = ready if gap.shuts else _shut_out(ready)
        if curve is not None:
            yield _wait(job, element, gap, product, curve=curve)


def _ready(job: Job, demand: MethodGap | Fit, product: str) -> Iterator[GapCurve | Gate]:
    """Yield everything that `demand` waits for, the curve first."""
    if demand.curve is not None:
        yield job.product(product).curves[demand.curve]
    yield from gates(job, demand, product)


def _held_c(job: Job, element: Element, operation: str) -> float | None:
    over = standing_over(job.method(element.method), operation)
    return None if over is None else over.surface_c


def _shut_out(curve: GapCurve) -> GapCurve | None:
    """Return the curve without its shutting end; None if nothing is left."""
    return None if curve.not_before is None else curve.model_copy(update={"not_after": None})


def _wait(
    job: Job,
    element: Element,
    gap: MethodGap,
    product: str | None = None,
    curve: GapCurve | None = None,
    gate: Gate | None = None,
) -> Wait:
    return Wait(
        after=key_of(element, gap.after),
        before=key_of(element, gap.before),
        after_end=gap.after_end,
        before_end=gap.before_end,
        element=element,
        product=product,
        curve=curve,
        least_h=gap.not_before_h or None,
        most_h=gap.not_after_h if gap.shuts else None,
        remedy=gap.remedy,
        gate=gate,
        held_c=_held_c(job, element, gap.after),
    )


def _link_wait(job: Job, link: Link) -> Wait:
    return Wait(
        after=link.after,
        before=link.before,
        after_end="finish",
        before_end="start",
        element=job.element(link.before.partition("/")[0]),
        product=None,
        curve=None,
        least_h=link.not_before_h or None,
        most_h=link.not_after_h,
        remedy=link.reason,
    )


def _element_exposures(job: Job, element: Element) -> Iterator[Exposure]:
    method = job.method(element.method)
    for stretch in method.exposed:
        inside = _span(element, method, stretch.first, stretch.last)
        fit = []
        for layer in stretch.fit:
            if layer.after not in element.omit:
                product = product_used(element, layer.product)
                key, held_c = key_of(element, layer.after), _held_c(job, element, layer.after)
                fit += [Layer(key, product, ready, held_c) for ready in _ready(job, layer, product)]
        if inside:
            yield Exposure(stretch.name, element, inside, tuple(fit), stretch.plates)


def _span(element: Element, method: Method, first: str, last: str) -> tuple[str, ...]:
    """Return the keys from `first` to `last` in the method's order, without those the element omits."""
    names = [operation.id for operation in method.operations]
    span = names[names.index(first) : names.index(last) + 1]
    return tuple(key_of(element, name) for name in span if name not in element.omit)
