"""Methods: a named sequence of operations for one kind of element, with its gaps and exposed stretches."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import model_validator

from planner.model.base import Amount, Hours, Identifier, Identifiers, Name, Part, Text, as_tuple
from planner.model.options import Alternative, Enclosure, Plates, Remedy
from planner.model.product import Conditions, GapCurve
from planner.model.release import Release
from planner.model.strength import MegaPascal, TypedClass
from planner.model.supply import Places

Light = Literal["any", "daylight", "twilight"]
End = Literal["start", "finish"]
Caution = Literal[
    "hydrodemolition",
    "jacking",
    "lifting",
    "hot-works",
    "resins",
    "cement",
    "dust",
    "traffic",
    "excavation",
    "height",
]


class MethodOperation(Part):
    """One operation of a method.

    Length [h] = `hours` + quantity / `output_per_h`; `quantity` names a key of the element's quantities.
    follows: the operations that must be finished first; left out, the one listed before.
    lanes_shut: the element's lanes must be shut to traffic while it goes on.
    visits: "one" unbroken visit, or "many" where the work may be broken off and taken up again.
    min_visit_h: shortest visit worth making [h]; the last one may be shorter.
    places: how much of the product it places; left out where it only works on what lies there.
    covers: the product, placed before, that it covers against sun and wind: wet hessian, sheet, curing compound.
    hold_point: in words, what somebody must release before it starts. release: who does, where that is to be planned.
    reopening_hold: in words, what somebody must release after it, before its lane reopens to traffic.
    the_day_before: in words, what must be begun on the day before it, such as soaking the concrete.
    enclosure: a heated enclosure that always stands over it. alternatives: other ways of doing it, one to be chosen.
    """

    id: Identifier
    name: Name
    skill: Identifier
    hours: Hours = 0.0
    quantity: Identifier | None = None
    output_per_h: Amount | None = None
    follows: Identifiers | None = None
    product: Identifier | None = None
    places: Places | None = None
    covers: Identifier | None = None
    plant: Identifiers = ()
    lanes_shut: bool = False
    light: Light = "any"
    visits: Literal["one", "many"] = "one"
    min_visit_h: Hours = 1.0
    conditions: Conditions = Conditions()
    enclosure: Enclosure | None = None
    alternatives: Annotated[tuple[Alternative, ...], as_tuple()] = ()
    hold_point: Text = ""
    reopening_hold: Text = ""
    the_day_before: Text = ""
    release: Release | None = None
    cautions: Annotated[tuple[Caution, ...], as_tuple()] = ()
    note: Text = ""

    @model_validator(mode="after")
    def _has_a_length(self) -> Self:
        if (self.quantity is None) != (self.output_per_h is None):
            raise ValueError("quantity and output_per_h go together")
        if self.quantity is None and self.hours <= 0:
            raise ValueError("an operation needs a length: hours, or quantity with output_per_h")
        if self.output_per_h is not None and self.output_per_h <= 0:
            raise ValueError("output_per_h must be more than 0")
        if self.visits == "many" and self.min_visit_h <= 0:
            raise ValueError("min_visit_h must be more than 0")
        if self.places is not None and self.product is None:
            raise ValueError("places needs the product that is placed")
        if self.release is not None and not self.hold_point:
            raise ValueError("release needs hold_point: in words, what is to be released")
        return self


class MethodGap(Part):
    """A gap between two operations of a method: demands on a product, or hours typed here.

    after, before: the gap is measured from an end of `after` to an end of `before`.
    product: whose curve, strength or curing is meant. Of the next three at least one; together, all must be open:
    curve: one of the product's curves, by name.
    strength_mpa: a strength gate [MPa]: open once the product has reached it.
    curing_class: open after the code set's minimum curing period for this class.
        A product that says nothing of its strength can't be held to the last two; a curve beside them then
        stands for them alone.
    not_before_h, not_after_h: constant hours [h]; not together with a product.
    shuts: false where only its opening counts, whatever the data sheet says of the end.
    remedy: in words, what mends it when the gap is missed. remedy_work: the same as work that can be planned.
    """

    after: Identifier
    before: Identifier
    after_end: End = "finish"
    before_end: End = "start"
    product: Identifier | None = None
    curve: Identifier | None = None
    strength_mpa: MegaPascal | None = None
    curing_class: TypedClass | None = None
    not_before_h: Hours | None = None
    not_after_h: Hours | None = None
    shuts: bool = True
    remedy: Text = ""
    remedy_work: Remedy | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        typed = self.not_before_h is not None or self.not_after_h is not None
        demanded = any(one is not None for one in (self.curve, self.strength_mpa, self.curing_class))
        if (self.product is not None) != demanded:
            raise ValueError("product goes together with curve, strength_mpa or curing_class")
        if typed == demanded:
            raise ValueError(
                "a gap needs either product with curve, strength_mpa or curing_class, or not_before_h / not_after_h"
            )
        if typed and not self.not_before_h and self.not_after_h is None:
            raise ValueError("not_before_h must be more than 0; for plain order use follows")
        if self.not_after_h is not None and self.not_after_h < (self.not_before_h or 0.0):
            raise ValueError("not_after_h must not be less than not_before_h")
        if self.after == self.before:
            raise ValueError("a gap joins two different operations")
        return self


class Fit(Part):
    """When a placed layer can carry traffic, measured from the finish of `after`: by curve, strength, or both."""

    after: Identifier
    product: Identifier
    curve: Identifier | None = None
    strength_mpa: MegaPascal | None = None

    @model_validator(mode="after")
    def _says_when(self) -> Self:
        if self.curve is None and self.strength_mpa is None:
            raise ValueError("fit for traffic needs a curve or strength_mpa")
        return self


class ExposedStretch(Part):
    """From the start of `first` to the finish of `last` the lanes can't be reopened, nor before every `fit`.

    The whole stretch lies inside one closure, between set-out and clear, unless it is covered by `plates`. Where an
    element says that its traffic is `held` (a speed or lane restriction stands instead), it is not applied.
    """

    name: Name
    first: Identifier
    last: Identifier
    fit: Annotated[tuple[Fit, ...], as_tuple()] = ()
    plates: Plates | None = None


class PlantHold(Part):
    """One unit of `plant` is tied up from the start of `first` to the finish of `last`."""

    plant: Identifier
    first: Identifier
    last: Identifier


class Method(Part):
    """A named sequence of operations with the gaps between them."""

    id: Identifier
    name: Name
    operations: Annotated[tuple[MethodOperation, ...], as_tuple()]
    gaps: Annotated[tuple[MethodGap, ...], as_tuple()] = ()
    exposed: Annotated[tuple[ExposedStretch, ...], as_tuple()] = ()
    plant_holds: Annotated[tuple[PlantHold, ...], as_tuple()] = ()
    note: Text = ""

    @model_validator(mode="after")
    def _has_operations(self) -> Self:
        if not self.operations:
            raise ValueError("a method needs at least one operation")
        return self


__all__ = [
    "Caution",
    "End",
    "ExposedStretch",
    "Fit",
    "GapCurve",
    "Light",
    "Method",
    "MethodGap",
    "MethodOperation",
    "PlantHold",
]
