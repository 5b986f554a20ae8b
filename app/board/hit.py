"""What lies under a point of the board, and which bar is next in each direction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from app.board.display import Display
from app.board.facts import Exposure, Row, RowKind, Tail, Visit
from app.board.geometry import Box
from app.board.rows import RowBox
from app.board.shapes import BarShape, TailShape

_REACH_PX = 3.0
"""How far beside a bar the pointer may be and still mean it."""


@dataclass(frozen=True, slots=True)
class Hit:
    """What is under a point: a row at least, and a bar, a gap or an exposed stretch where there is one."""

    row: Row
    bar: BarShape | None = None
    tail: Tail | None = None
    exposure: Exposure | None = None


def hit(display: Display, x: float, y: float) -> Hit | None:
    """Return what is at content point (x, y); None below the last row."""
    box = display.rows.at(y)
    if box is None:
        return None
    shapes = display.row(box.top)
    bars = [
        bar for bar in shapes.bars.between(x - _REACH_PX, x + _REACH_PX) if bar.y - 2 <= y <= bar.y + bar.height + 2
    ]
    if bars:
        return Hit(box.row, bar=min(bars, key=lambda bar: _distance(bar, x)))
    if box.shift and y < box.top + box.shift:
        found = shapes.exposures.between(x, x)
        return Hit(box.row, exposure=found[0].exposure) if found else Hit(box.row)
    tails = [shape for shape in shapes.tails.between(x, x) if _on_tail(shape, x, y)]
    return Hit(box.row, tail=tails[-1].tail) if tails else Hit(box.row)


def _distance(bar: BarShape, x: float) -> float:
    return 0.0 if bar.x0 <= x <= bar.x1 else min(abs(bar.x0 - x), abs(bar.x1 - x))


def _on_tail(shape: TailShape, x: float, y: float) -> bool:
    on_band = abs(y - shape.y) <= shape.thickness / 2 + 2
    left_over = x >= shape.planned and abs(y - shape.spare_y) <= 4
    return on_band or left_over


class Way(Enum):
    """A direction to move the selection in."""

    LEFT = "left"
    RIGHT = "right"
    UP = "up"
    DOWN = "down"
    FIRST = "first"
    LAST = "last"


@dataclass(frozen=True, slots=True)
class Place:
    """A bar in its row."""

    box: RowBox
    visit: Visit


def place_of(display: Display, key: str, number: int = 1) -> Place | None:
    """Return where a visit is shown: its element's row, if that is not folded away."""
    for box in display.rows.boxes:
        if box.row.kind is RowKind.ELEMENT and box.row.id == key.split("/")[0]:
            visits = [visit for visit in box.row.visits if visit.key == key]
            exact = next((visit for visit in visits if visit.number == number), visits[0] if visits else None)
            return Place(box, exact) if exact else None
    return None


def followed(before: Sequence[Visit], after: Sequence[Visit], number: int) -> int:
    """Return the number that visit `number` of an operation has after a change, when its visits are counted anew.

    What stands as it did is the same visit; what moved is matched in order of time.
    """
    old = {_stand(visit): visit.number for visit in sorted(before, key=_stand)}
    new = {_stand(visit): visit.number for visit in sorted(after, key=_stand)}
    gone, come = [stand for stand in old if stand not in new], [stand for stand in new if stand not in old]
    became = {old[stand]: new[stand] for stand in old if stand in new}
    became |= {old[one]: new[other] for one, other in zip(gone, come, strict=False)}
    return became.get(number, number)


def _stand(visit: Visit) -> tuple[int, int, int]:
    return visit.start, visit.finish, visit.gang


def bar_of(display: Display, key: str, number: int) -> BarShape | None:
    """Return the bar of a visit in its element's row, or None where it is folded away."""
    place = place_of(display, key, number)
    if place is None:
        return None
    bars = [bar for bar in display.row(place.box.top).bars.shapes if bar.visit.key == key]
    return next((bar for bar in bars if bar.visit.number == number), bars[0] if bars else None)


def step(display: Display, here: Place | None, way: Way) -> Place | None:
    """Return the bar next to `here` (the very first where nothing is selected); `here` where there is none."""
    boxes = [box for box in display.rows.boxes if box.row.kind is RowKind.ELEMENT and box.row.visits]
    if not boxes:
        return None
    if here is None:
        return Place(boxes[0], _in_order(boxes[0])[0])
    visits = _in_order(here.box)
    at = visits.index(here.visit)
    match way:
        case Way.LEFT:
            return Place(here.box, visits[max(0, at - 1)])
        case Way.RIGHT:
            return Place(here.box, visits[min(len(visits) - 1, at + 1)])
        case Way.FIRST:
            return Place(here.box, visits[0])
        case Way.LAST:
            return Place(here.box, visits[-1])
    row = next((i for i, box in enumerate(boxes) if box.row.id == here.box.row.id), 0)
    row = max(0, row - 1) if way is Way.UP else min(len(boxes) - 1, row + 1)
    if boxes[row].row.id == here.box.row.id:
        return here
    nearest = min(boxes[row].row.visits, key=lambda visit: abs(visit.start - here.visit.start))
    return Place(boxes[row], nearest)


def visits_between(display: Display, one: Place, other: Place) -> frozenset[tuple[str, int]]:
    """Return the visits from one bar to another: in time and over all element rows from the one's to the other's."""
    first, last = min(one.visit.start, other.visit.start), max(one.visit.finish, other.visit.finish)
    top, bottom = sorted((one.box.top, other.box.top))
    return frozenset(
        (visit.key, visit.number)
        for box in display.rows.between(top, bottom)
        if box.row.kind is RowKind.ELEMENT
        for visit in box.row.visits
        if visit.start >= first and visit.finish <= last
    )


def visits_in(display: Display, band: Box) -> frozenset[tuple[str, int]]:
    """Return the visits whose bars a rectangle of the content touches."""
    return frozenset(
        (bar.visit.key, bar.visit.number)
        for box in display.rows.between(band.y, band.bottom)
        if box.row.kind is not RowKind.STRUCTURE
        for bar in display.row(box.top).bars.between(band.x, band.right)
        if bar.y <= band.bottom and bar.y + bar.height >= band.y
    )


def _in_order(box: RowBox) -> list[Visit]:
    return sorted(box.row.visits, key=lambda visit: (visit.start, visit.finish, visit.key))
