"""The display list: what is drawn and where, in content pixels (x = 0 at slot 0, y = 0 at the first row).

Shapes are named tuples: at each change of scale thousands are made, and a frozen dataclass takes four times as long.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, NamedTuple, Protocol, TypeVar

from app.board.facts import Exposure, Tail, TailState, Visit
from app.board.rows import RowBox

Measure = Callable[[str], float]
"""Width in pixels of a text in the board's label font."""


class Spanning(Protocol):
    """Anything that reaches from x0 to x1."""

    @property
    def x0(self) -> float:
        """Left edge."""

    @property
    def x1(self) -> float:
        """Right edge."""


class BarShape(NamedTuple):
    """A visit, or `merged` visits too narrow to be told apart; `state` is the worst gap that ends in it.

    hold: a hold point before it; reopens: one after it, before the lane reopens.
    """

    x0: float
    x1: float
    y: float
    height: float
    visit: Visit
    merged: int = 1
    hold: bool = False
    reopens: bool = False
    state: TailState = TailState.MET


class JoinShape(NamedTuple):
    """The line that joins the visits of one operation."""

    x0: float
    x1: float
    y: float
    gang: int


class TailShape(NamedTuple):
    """A gap after its bar; x of the four instants, the middle of the band, and the track for what is left over."""

    x0: float
    x1: float
    y: float
    thickness: float
    spare_y: float
    anchor: float
    opens: float | None
    shuts: float | None
    planned: float
    tail: Tail


class ExposureShape(NamedTuple):
    """An exposed stretch over its row: x of the last finish, and of the deadline where there is one."""

    x0: float
    x1: float
    y: float
    finish: float
    deadline: float | None
    exposure: Exposure


class LabelShape(NamedTuple):
    """Words at a bar or a deadline, cut to what fits; `full` are all of them."""

    x0: float
    x1: float
    y: float
    text: str
    full: str
    strong: bool = False


S = TypeVar("S", bound=Spanning)


@dataclass(frozen=True)
class Spread(Generic[S]):
    """Shapes in order of x0, to be asked for those in view."""

    shapes: tuple[S, ...]
    starts: tuple[float, ...]
    longest: float

    def between(self, left: float, right: float) -> tuple[S, ...]:
        """Return the shapes that touch x left..right: bisect the starts, less the longest shape."""
        first = bisect_left(self.starts, left - self.longest)
        last = bisect_right(self.starts, right)
        return tuple(shape for shape in self.shapes[first:last] if shape.x1 >= left)


def spread(shapes: Sequence[S]) -> Spread[S]:
    """Return shapes ready for culling."""
    ordered = tuple(sorted(shapes, key=lambda shape: shape.x0))
    longest = max((shape.x1 - shape.x0 for shape in ordered), default=0.0)
    return Spread(ordered, tuple(shape.x0 for shape in ordered), longest)


@dataclass(frozen=True)
class RowShapes:
    """All that is drawn in one row."""

    box: RowBox
    bars: Spread[BarShape]
    joins: Spread[JoinShape]
    tails: Spread[TailShape]
    exposures: Spread[ExposureShape]
    labels: Spread[LabelShape]


@dataclass(frozen=True)
class RowView:
    """What of one row is in view."""

    box: RowBox
    bars: tuple[BarShape, ...]
    joins: tuple[JoinShape, ...]
    tails: tuple[TailShape, ...]
    exposures: tuple[ExposureShape, ...]
    labels: tuple[LabelShape, ...]


def in_view(row: RowShapes, left: float, right: float) -> RowView:
    """Return what of a row touches content x left..right."""
    return RowView(
        row.box,
        row.bars.between(left, right),
        row.joins.between(left, right),
        row.tails.between(left, right),
        row.exposures.between(left, right),
        row.labels.between(left, right),
    )
