"""What can be asked for and, one at a time, left out: the vocabulary of "why is there no plan"."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """A kind of requirement on one operation, gap or exposed stretch."""

    OPENS = "opens"
    SHUTS = "shuts"
    FIT = "fit for traffic"
    STRETCH = "one closure for the exposed stretch"
    CLOSURE = "lanes shut"
    SHIFT = "shift"
    ONE_VISIT = "one visit"
    LIGHT = "light"
    SURFACE = "surface temperature"
    AIR = "air temperature"
    HUMIDITY = "humidity"
    WIND = "wind"
    DEW = "dew point"
    RAIN = "no rain"
    RAIN_AFTER = "no rain after"
    PROTECT = "protected time after"
    PLANT = "plant held"
    PIN = "pin"
    RELEASE = "hold point released"


@dataclass(frozen=True, order=True)
class Requirement:
    """One requirement: `subject` is the key of an operation, a gap, or "ELEMENT/stretch name"."""

    kind: Kind
    subject: str


Dropped = frozenset[Requirement]
NOTHING: Dropped = frozenset()
