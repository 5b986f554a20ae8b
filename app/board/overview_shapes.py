"""The overview of the whole job as plain boxes: every bar of it, scaled into a strip. No Qt."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import accumulate

from app.board.facts import Facts, Row, RowKind, TailState
from app.board.geometry import SLOTS_A_DAY, Box
from app.board.rows import RowBox, RowPlan

_TOP_PX, _FOOT_PX = 3.0, 2.0
_LEAST_PX, _LEAST_TALL_PX, _BREACH_PX = 1.5, 0.7, 3.0

Block = tuple[float, float, float, float]
"""x, y, width and height."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Where the job lies: x of its left edge, its width and height [px], slots first..last.

    tops, ends: content y at which rows with bars begin, and how much of such rows has come by their ends [px];
    headings take no height here.
    """

    left: float
    width: float
    height: float
    first: int
    last: int
    tops: tuple[float, ...] = ()
    ends: tuple[float, ...] = ()

    def x(self, slot: float) -> float:
        """Return the x of an instant."""
        return self.left + (slot - self.first) * self.width / max(1, self.last - self.first)

    def slot(self, x: float) -> float:
        """Return the instant at an x."""
        return self.first + (x - self.left) * max(1, self.last - self.first) / self.width

    def y(self, content_y: float) -> float:
        """Return the y of a height among the rows."""
        at = bisect_right(self.tops, content_y) - 1
        if at < 0:
            return _TOP_PX
        before = self.ends[at - 1] if at else 0.0
        come = min(self.ends[at], before + content_y - self.tops[at])
        return _TOP_PX + come * self._inner / self.ends[-1]

    def content_y(self, y: float) -> float:
        """Return the height among the rows at a y."""
        if not self.ends:
            return 0.0
        come = min(self.ends[-1], max(0.0, (y - _TOP_PX) * self.ends[-1] / self._inner))
        at = bisect_left(self.ends, come)
        return self.tops[at] + come - (self.ends[at - 1] if at else 0.0)

    @property
    def _inner(self) -> float:
        return max(1.0, self.height - _TOP_PX - _FOOT_PX)


@dataclass(frozen=True)
class Blocks:
    """The bars by gang, and a mark for each gap that is not met."""

    bars: dict[int, list[Block]] = field(default_factory=dict)
    broken: list[Block] = field(default_factory=list)


def strip_of(area: Box, facts: Facts, height: float, rows: RowPlan) -> Strip:
    """Return the strip under the board's rows: whole days from the first work to the last, and a little more."""
    first, last = facts.span
    first = max(0, first - first % SLOTS_A_DAY)
    last = min(facts.horizon, last + SLOTS_A_DAY - last % SLOTS_A_DAY)
    shown = [box for box in rows.boxes if _has_bars(box)]
    tops = tuple(box.top for box in shown)
    ends = tuple(accumulate(box.height for box in shown))
    return Strip(area.x, area.width, height, first, max(first + 1, last), tops, ends)


def blocks_of(rows: RowPlan, strip: Strip) -> Blocks:
    """Return the blocks of all rows; elements folded away show their bars on their structure's line."""
    blocks = Blocks()
    for box in rows.boxes:
        if not _has_bars(box):
            continue
        top = strip.y(box.top)
        room = strip.y(box.top + box.height - 0.01) - top
        tall = room - 1.0 if room > 3 else max(_LEAST_TALL_PX, room)
        for row in _rows(box.row, box.open):
            for visit in row.visits:
                left = strip.x(visit.start)
                wide = max(_LEAST_PX, strip.x(visit.finish) - left)
                blocks.bars.setdefault(visit.gang, []).append((left, top, wide, tall))
            for tail in row.tails:
                if tail.state is not TailState.MET:
                    middle = top + tall / 2 - _BREACH_PX / 2
                    blocks.broken.append((strip.x(tail.planned) - 1, middle, _BREACH_PX, _BREACH_PX))
    return blocks


def _has_bars(box: RowBox) -> bool:
    """Elements do, and structures whose elements are folded away."""
    return box.row.kind is RowKind.ELEMENT or (box.row.kind is RowKind.STRUCTURE and not box.open)


def _rows(row: Row, is_open: bool) -> Iterator[Row]:
    if row.kind is RowKind.ELEMENT:
        yield row
    elif not is_open:
        yield from row.children
