"""Who and what does the work, and when the road is shut for it: gangs, shifts, plant, lanes, closures."""

from __future__ import annotations

from datetime import date, datetime, time
from enum import StrEnum
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, model_validator

from planner.model.base import Amount, Hours, Identifier, Identifiers, Name, Part, Text, as_tuple

Minutes = Annotated[int, Field(ge=0, le=24 * 60)]


def _read_clock(value: Any) -> Any:
    """Turn "HH:MM" into a time of day; TOML's own 07:00:00 passes as it is."""
    if not isinstance(value, str):
        return value
    try:
        return time.fromisoformat(value)
    except ValueError as error:
        raise ValueError('a time of day is text "HH:MM" such as "07:30"') from error


WallTime = Annotated[time, BeforeValidator(_read_clock)]
Days = Annotated[tuple[date, ...], as_tuple()]


class Shift(Part):
    """One kind of shift of a gang.

    rule: RFC 5545 recurrence of the days on which it starts, e.g. "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR".
    start, finish: local wall time; a finish not after the start is on the next day.
    anchor: the day from which INTERVAL counts and before which there is no such shift (the job's first day when left
        out).
    overtime_h: hours [h] for which work may go on past `finish`, at overtime_cost_per_h [money/h] for the gang, paid
        by the quarter-hour until the last of its visits in the shift has ended.
    """

    name: Name
    rule: Annotated[str, Field(min_length=6, max_length=400)]
    start: WallTime
    finish: WallTime
    anchor: date | None = None
    overtime_h: Annotated[Hours, Field(le=12)] = 0.0
    overtime_cost_per_h: Amount = 0.0


class Gang(Part):
    """A gang: does one thing at a time.

    move_min: time to move to another structure [min].
    """

    id: Identifier
    name: Name
    size: Annotated[int, Field(ge=1, le=200)]
    skills: Identifiers
    shifts: Annotated[tuple[Shift, ...], as_tuple()]
    days_off: Days = ()
    cost_per_shift: Amount = 0.0
    move_min: Minutes = 0

    @model_validator(mode="after")
    def _can_work(self) -> Self:
        if not self.skills:
            raise ValueError("a gang needs at least one skill")
        if not self.shifts:
            raise ValueError("a gang needs at least one shift")
        return self


class Plant(Part):
    """A kind of plant, of which there are `count` units."""

    id: Identifier
    name: Name
    count: Annotated[int, Field(ge=1, le=100)] = 1


class Lane(Part):
    """A traffic lane that a closure can shut."""

    id: Identifier
    name: Name


class ClosureState(StrEnum):
    """How far the closure has got with the road authority; a refused one can't be used."""

    WANTED = "wanted"
    REQUESTED = "requested"
    AGREED = "agreed"
    REFUSED = "refused"


class Closure(Part):
    """A window in which named lanes are shut to traffic, in naive local wall time.

    set_out_min, clear_min: time [min] to place and to lift the cones, taken off the two ends.
    """

    id: Identifier
    name: Name = "Lane closure"
    lanes: Identifiers
    start: datetime
    finish: datetime
    set_out_min: Minutes = 45
    clear_min: Minutes = 30
    state: Annotated[ClosureState, Field(strict=False)] = ClosureState.WANTED
    cost: Amount = 0.0
    note: Text = ""

    @model_validator(mode="after")
    def _is_a_window(self) -> Self:
        if self.start.tzinfo is not None or self.finish.tzinfo is not None:
            raise ValueError("closure times are local wall time without an offset")
        if self.finish <= self.start:
            raise ValueError("a closure must finish after it starts")
        if not self.lanes:
            raise ValueError("a closure needs at least one lane")
        return self
