"""What the board shows, in slots and words: no pixels, no colours, no Qt."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum, StrEnum
from functools import cached_property

import numpy as np

from planner.units import SiteTime


class RowKind(Enum):
    """What a row stands for."""

    STRUCTURE = "structure"
    ELEMENT = "element"
    OPERATION = "operation"


class TailState(StrEnum):
    """How the next layer sits in its gap."""

    MET = "met"
    EARLY = "too early"
    LATE = "missed"


class WorkState(StrEnum):
    """How far a visit has come, after the site record."""

    AHEAD = ""
    UNDER_WAY = "under way"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class GangMark:
    """How a gang is told apart: its number picks colour and hatch, its initial is on every bar."""

    id: str
    name: str
    initial: str
    number: int


@dataclass(frozen=True, slots=True)
class Visit:
    """One bar: slots [start, finish) of operation `key`; visit `number` of `count`.

    hold: whether somebody must release it before it starts. reopening_hold: whether somebody must release what it
    leaves, before the lane reopens.
    """

    key: str
    name: str
    gang: int
    start: int
    finish: int
    number: int = 1
    count: int = 1
    hold: bool = False
    closure: str | None = None
    pinned: bool = False
    state: WorkState = WorkState.AHEAD
    reopening_hold: bool = False

    @property
    def holds_reopening(self) -> bool:
        """Whether it ends the work after which somebody must release the lane."""
        return self.reopening_hold and self.number == self.count


@dataclass(frozen=True, slots=True)
class Tail:
    """The gap after an operation: anchor, opening, shutting and the planned start of the next layer, in slots."""

    key: str
    after: str
    before: str
    product: str | None
    anchor: int
    opens: int | None
    shuts: int | None
    planned: int

    @property
    def state(self) -> TailState:
        """How the next layer sits in the gap; one that never opens is too early whenever it is used."""
        if self.opens is None or self.planned < self.opens:
            return TailState.EARLY
        if self.shuts is not None and self.planned > self.shuts:
            return TailState.LATE
        return TailState.MET


@dataclass(frozen=True, slots=True)
class Exposure:
    """An exposed stretch: slots from break-out to the last finish, and when the cones must start to lift.

    ending: what starts at the deadline: the cones lift, or plates are laid over it.
    """

    name: str
    start: int
    finish: int
    deadline: int | None
    first: str
    ending: str = "Cones lift"


@dataclass(frozen=True)
class Row:
    """One row: a structure's heading, an element's life, or one operation of it."""

    id: str
    kind: RowKind
    title: str
    note: str
    visits: tuple[Visit, ...] = ()
    tails: tuple[Tail, ...] = ()
    exposures: tuple[Exposure, ...] = ()
    children: tuple[Row, ...] = ()

    @cached_property
    def span(self) -> tuple[int, int] | None:
        """First and last slot with work in it; kept, as the rows that a change leaves alone stay the same objects."""
        if not self.visits:
            return None
        return min(visit.start for visit in self.visits), max(visit.finish for visit in self.visits)


@dataclass(frozen=True, slots=True)
class ClosureStrip:
    """One closure on its lane's ribbon: the whole window and the part between set-out and clear."""

    id: str
    name: str
    state: str
    start: int
    finish: int
    work: tuple[int, int] | None
    used: bool


@dataclass(frozen=True, slots=True)
class LaneStrip:
    """One lane and the closures that shut it."""

    id: str
    name: str
    closures: tuple[ClosureStrip, ...]


@dataclass(frozen=True, slots=True)
class CrewDay:
    """One shift of a gang with the slots that are worked in it, and in the overtime after its finish."""

    start: int
    finish: int
    worked: tuple[tuple[int, int], ...]

    @property
    def until(self) -> int:
        """The slot at which shift and overtime worked end."""
        return max(self.finish, self.worked[-1][1]) if self.worked else self.finish


@dataclass(frozen=True, slots=True)
class GangLoad:
    """The crew-days of one gang."""

    gang: GangMark
    days: tuple[CrewDay, ...]


@dataclass(frozen=True, eq=False)
class WeatherStrip:
    """Temperatures at slot boundaries [°C], length H+1; rain in each slot [mm/h], length H."""

    air_c: np.ndarray
    dew_c: np.ndarray
    rain_mm_h: np.ndarray
    surfaces: dict[str, np.ndarray] = field(default_factory=dict)
    """Surface temperature [°C] by element."""


@dataclass(frozen=True, eq=False)
class Facts:
    """Everything on the board. `rows` are the structures, with their elements below them."""

    time: SiteTime
    horizon: int
    gangs: tuple[GangMark, ...]
    rows: tuple[Row, ...]
    lanes: tuple[LaneStrip, ...]
    loads: tuple[GangLoad, ...]
    daylight: tuple[tuple[int, int], ...]
    twilight: tuple[tuple[int, int], ...]
    weather: WeatherStrip | None = None

    @cached_property
    def span(self) -> tuple[int, int]:
        """First and last slot with work in it; the whole job where nothing is planned."""
        spans = [row.span for group in self.rows for row in group.children if row.span is not None]
        if not spans:
            return 0, self.horizon
        return min(first for first, _ in spans), max(last for _, last in spans)

    def element_of(self, key: str) -> Row | None:
        """Return the element row that holds operation `key`, or None."""
        name = key.split("/")[0]
        return next((row for group in self.rows for row in group.children if row.id == name), None)

    def visits_of(self, key: str) -> tuple[Visit, ...]:
        """Return the visits of operation `key` that are planned."""
        row = self.element_of(key)
        return tuple(visit for visit in row.visits if visit.key == key) if row else ()


def initials(names: tuple[str, ...]) -> tuple[str, ...]:
    """Return a different short mark for each gang: a letter of its name, or its number when letters run out."""
    taken: list[str] = []
    for number, name in enumerate(names, start=1):
        words = [word[0] for word in name.split() if word[0].isalnum()]
        letters = [mark.upper() for mark in (*words, *name) if mark.isalnum()]
        taken.append(next((mark for mark in letters if mark not in taken), str(number)))
    return tuple(taken)
