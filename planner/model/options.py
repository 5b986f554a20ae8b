"""Ways of doing it differently that a planner may choose: alternatives of an operation, remedies of a missed gap."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from planner.model.base import Amount, Celsius, Hours, Identifier, Identifiers, Name, Number, Part, Text
from planner.model.product import Conditions
from planner.model.supply import Places


class Enclosure(Part):
    """A heated enclosure: it stands from the start of its operation until every gap measured from it is over.

    surface_c: temperature [°C] at which the surface is held; the clocks of the gaps measured from its operation and
        from those in `covers` run at it, and their limits are read against it.
    covers: further operations of the element that are done under it.
    sheltered: it keeps wind and rain out, and the air inside is as warm as the work needs.
    """

    surface_c: Celsius
    covers: Identifiers = ()
    sheltered: bool = True


class Plates(Part):
    """Steel plates laid over an exposed stretch when a closure ends, so that the lane reopens at a speed limit.

    The stretch may then be interrupted: its operations lie in any closures of its lanes, each shorter by the time
    for the plates, and every layer is fit for traffic at the end of the closure in which it was placed.
    lift_min, lay_min: time [min] at the start and at the end of a closure to lift the plates and to lay them.
    """

    lift_min: Annotated[int, Field(ge=0, le=600)] = 30
    lay_min: Annotated[int, Field(ge=0, le=600)] = 30


class Plating(Plates):
    """Plates over the exposed stretch of this name."""

    stretch: Name


class Alternative(Part):
    """Another way of doing one operation; what it leaves out stays as it is.

    product: stands for the operation's own, in its conditions and in gaps and fits measured from it; the element's
        own `products` do not change it again.
    hours, output_per_h: length as for the operation itself. plant: needed as well. conditions: over the product's.
    cost: what it costs more than the usual way, once; cost_per_unit: for each unit of the operation's quantity.
        Below 0 where it saves.
    """

    id: Identifier
    name: Name
    product: Identifier | None = None
    hours: Hours | None = None
    output_per_h: Annotated[Amount, Field(gt=0)] | None = None
    plant: Identifiers = ()
    conditions: Conditions = Conditions()
    enclosure: Enclosure | None = None
    plating: Plating | None = None
    cost: Number = 0.0
    cost_per_unit: Number = 0.0
    note: Text = ""


class Remedy(Part):
    """Work that mends a gap when it has shut: done between its two operations, in place of its shutting end.

    Length [h] = `hours` + quantity / `output_per_h`. product, curve: what then governs the start of the gap's later
    operation, measured from the finish of the remedy; none where it may follow at once. places: how much it takes.
    renews: in place of a curve, the gap itself counts anew from the remedy, as where a face is washed again.
    """

    id: Identifier
    name: Name
    skill: Identifier
    hours: Hours = 0.0
    quantity: Identifier | None = None
    output_per_h: Annotated[Amount, Field(gt=0)] | None = None
    product: Identifier | None = None
    curve: Identifier | None = None
    renews: bool = False
    places: Places | None = None
    plant: Identifiers = ()
    lanes_shut: bool = False
    conditions: Conditions = Conditions()
    cost: Amount = 0.0
    note: Text = ""

    @model_validator(mode="after")
    def _has_a_length(self) -> Self:
        if (self.quantity is None) != (self.output_per_h is None):
            raise ValueError("quantity and output_per_h go together")
        if self.quantity is None and self.hours <= 0:
            raise ValueError("a remedy needs a length: hours, or quantity with output_per_h")
        if self.curve is not None and self.product is None:
            raise ValueError("curve needs the product that it is of")
        if self.renews and self.curve is not None:
            raise ValueError("renews or curve: the gap counts anew, or that of another product takes its place")
        if self.places is not None and self.product is None:
            raise ValueError("places needs the product that is placed")
        return self


class OfferedAlternative(Alternative):
    """An alternative that the job offers for one operation of some elements, beside those of their methods."""

    elements: Annotated[Identifiers, Field(min_length=1)]
    operation: Identifier


class OfferedRemedy(Remedy):
    """A remedy that the job offers for the gap between two operations of some elements."""

    elements: Annotated[Identifiers, Field(min_length=1)]
    after: Identifier
    before: Identifier
