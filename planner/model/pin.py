"""What is fixed by hand: an operation pinned to a start, to a time within which it starts, or to a gang."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Self

from pydantic import Field, model_validator

from planner.model.base import Identifier, Part, Text

OperationKey = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*/[A-Za-z0-9][A-Za-z0-9_.-]*$")]


class Pin(Part):
    """Operation "ELEMENT/OP" starts exactly at `start`, or not before and not after two times, or is done by `gang`.

    Times are naive local wall time; `start` lies on a quarter-hour.
    """

    operation: OperationKey
    gang: Identifier | None = None
    start: datetime | None = None
    not_before: datetime | None = None
    not_after: datetime | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _fixes_something(self) -> Self:
        times = [time for time in (self.start, self.not_before, self.not_after) if time is not None]
        if not times and self.gang is None:
            raise ValueError("a pin needs start, not_before, not_after or gang")
        if self.start is not None and len(times) > 1:
            raise ValueError("start fixes it; not_before and not_after are for a pin without it")
        if any(time.tzinfo is not None for time in times):
            raise ValueError("the times of a pin are local wall time without an offset")
        if self.start is not None and (self.start.minute % 15 or self.start.second or self.start.microsecond):
            raise ValueError("start must lie on a quarter-hour")
        if self.not_before is not None and self.not_after is not None and self.not_after < self.not_before:
            raise ValueError("not_after must not come before not_before")
        return self
