"""Qt geometry of a row's gaps and bars, made once and drawn often: plain lists that a painter takes in one call."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPolygonF

from app.board.facts import TailState, WorkState
from app.board.geometry import Box
from app.board.hatch import hatch
from app.board.kit import core
from app.board.shapes import BarShape, JoinShape, TailShape

WIDE_BAR_PX = 13.0
"""From here on a bar carries its gang's initial, and beyond it the hatch."""
_WIDE_TALL_PX = 8.0
PAPER_BAR_PX, PAPER_LETTER_PX = 4.0, 10.0
"""On paper, which can't be zoomed and is copied in black and white, a narrower bar has its hatch, and from the second
width on its initial instead."""
INITIAL_PX = 14.0
GATE_PX = 7.5
"""Width of a hold point's double tick with the white about it."""
FAR_PX = 30_000.0
"""As far as a painter can take."""
_CLOSING = 0.25
"""The last part of a gap, in which its band narrows."""
_TAPER_PX = 5.0
"""A narrowing shorter than this can't be seen and is drawn as a block."""
_POST_PX = 3.0
DOTS_PX = 42.0
"""Ten periods of the dotted thread: cut after whole ones, its dots stay in place."""
MARK_PX = 12.0
"""A mark at a bar (double tick, wedges) stands out no farther than this."""


@dataclass
class TailInk:
    """Threads, bands (blocks and narrowing ones), rails under bars, posts; the gaps that are not met as they are."""

    threads: list[QLineF] = field(default_factory=list)
    blocks: list[QRectF] = field(default_factory=list)
    tapers: list[QPolygonF] = field(default_factory=list)
    posts: list[QRectF] = field(default_factory=list)
    unmet: list[TailShape] = field(default_factory=list)


@dataclass(frozen=True)
class WideBar:
    """A bar with room for an initial: its box with edges on whole pixels, and the lines of its gang's hatch.

    outline: the middle of a line of one pixel along the inside of the box.
    """

    bar: BarShape
    box: Box
    outline: QRectF
    hatched: list[QLineF]


@dataclass
class NarrowBars:
    """Blocks with no room for an initial, and what the outline of each leaves for its fill."""

    areas: list[QRectF] = field(default_factory=list)
    cores: list[QRectF] = field(default_factory=list)

    def add(self, area: QRectF) -> None:
        """Lay a block."""
        self.areas.append(area)
        self.cores.append(core(area))


@dataclass
class BarInk:
    """Narrow bars and the joins of visits as blocks by gang; wide bars; as they are: hold points, pinned ones.

    reopenings: bars with a hold point after them, before the lane reopens.
    behind: narrow bars of what is done, by gang.
    """

    blocks: dict[int, NarrowBars] = field(default_factory=dict)
    behind: dict[int, NarrowBars] = field(default_factory=dict)
    wide: list[WideBar] = field(default_factory=list)
    holds: list[BarShape] = field(default_factory=list)
    reopenings: list[BarShape] = field(default_factory=list)
    pinned: list[BarShape] = field(default_factory=list)

    def within(self, left: float, right: float) -> BarInk:
        """Return the ink with only those wide bars and marks, which cost most, that touch x left..right."""
        if not (self.wide or self.holds or self.reopenings or self.pinned):
            return self
        return BarInk(
            self.blocks,
            self.behind,
            [one for one in self.wide if one.bar.x1 >= left and one.bar.x0 <= right],
            [bar for bar in self.holds if bar.x1 >= left and bar.x0 <= right + MARK_PX],
            [bar for bar in self.reopenings if bar.x1 >= left - MARK_PX and bar.x0 <= right],
            [bar for bar in self.pinned if bar.x1 >= left - MARK_PX and bar.x0 <= right + MARK_PX],
        )


@dataclass(frozen=True)
class Edges:
    """Content x between which ink is laid; what lies outside is cut off."""

    left: float = float("-inf")
    right: float = float("inf")

    def keep(self, x: float) -> float:
        """Return x, moved to the nearer edge where it lies outside."""
        return self.left if x < self.left else self.right if x > self.right else x

    def keep_dots(self, x: float) -> float:
        """Return x, moved near the left edge by whole periods of the dotted thread where it lies outside."""
        return x if x >= self.left else x + (self.left - x) // DOTS_PX * DOTS_PX


EVERYWHERE = Edges()


def bar_ink(bars: Iterable[BarShape], joins: Iterable[JoinShape] = (), *, on_paper: bool = False) -> BarInk:
    """Return the ink of bars and of the lines that join them; on_paper: narrow bars show their gang as well."""
    least = PAPER_BAR_PX if on_paper else WIDE_BAR_PX
    ink = BarInk()
    for join in joins:
        ink.blocks.setdefault(join.gang, NarrowBars()).add(QRectF(join.x0, join.y, join.x1 - join.x0, 2.5))
    for bar in bars:
        if bar.hold:
            ink.holds.append(bar)
        if bar.reopens:
            ink.reopenings.append(bar)
        if bar.visit.pinned:
            ink.pinned.append(bar)
        width = bar.x1 - bar.x0
        if width >= least and bar.height >= _WIDE_TALL_PX:
            ink.wide.append(_wide_bar(bar))
        else:
            box = QRectF(bar.x0, bar.y, max(1.5, width - 0.5), bar.height)
            blocks = ink.behind if bar.visit.state is WorkState.DONE else ink.blocks
            blocks.setdefault(bar.visit.gang, NarrowBars()).add(box)
    return ink


def has_gate(bar: BarShape) -> bool:
    """Return whether a bar stands behind a hold point's double tick."""
    return bar.hold and bar.x1 - bar.x0 >= WIDE_BAR_PX


def _wide_bar(bar: BarShape) -> WideBar:
    left = round(bar.x0) + (GATE_PX if has_gate(bar) else 0.0)
    box = Box(left, bar.y, max(2.0, min(round(bar.x1) - left - 1.0, FAR_PX)), bar.height)
    outline = QRectF(box.x + 0.5, box.y + 0.5, box.width - 1, box.height - 1)
    if box.width <= INITIAL_PX + 6:
        narrow = hatch(bar.visit.gang, box) if box.width < PAPER_LETTER_PX else []
        return WideBar(bar, box, outline, [QLineF(*line) for line in narrow])
    room = Box(box.x + INITIAL_PX, box.y + 1, box.width - INITIAL_PX - 1.5, box.height - 2)
    return WideBar(bar, box, outline, [QLineF(*line) for line in hatch(bar.visit.gang, room)])


def tail_ink(tails: Sequence[TailShape], edges: Edges = EVERYWHERE) -> TailInk:
    """Return the ink of gaps."""
    ink = TailInk()
    for tail in tails:
        if tail.tail.state is not TailState.MET:
            ink.unmet.append(tail)
        start = tail.x1 if tail.opens is None else tail.opens
        if start - tail.anchor > 1:
            ink.threads.append(QLineF(edges.keep_dots(tail.anchor), tail.y, edges.keep(start), tail.y))
        if tail.opens is not None:
            _band(ink, tail, tail.opens, edges)
    return ink


def _band(ink: TailInk, tail: TailShape, start: float, edges: Edges) -> None:
    """Lay the band up to the next layer, what is left of the gap under it, and the post."""
    shuts, half = tail.shuts, tail.thickness / 2
    end = tail.planned if shuts is None else min(tail.planned, shuts)
    closing = end if shuts is None else shuts - (shuts - start) * _CLOSING
    shoulder = end if end - closing < _TAPER_PX else closing
    if shoulder - start > 0.5:
        left = edges.keep(start)
        ink.blocks.append(QRectF(left, tail.y - half, edges.keep(shoulder) - left, tail.thickness))
    if shuts is None:
        return
    if end > shoulder:
        tip = half * (1 - 0.72 * (end - closing) / max(1.0, shuts - closing))
        ink.tapers.append(_taper(edges.keep(shoulder), edges.keep(end), tail.y, half, tip))
    if tail.planned >= shuts:
        tall = 15.0 if tail.thickness > 4 else 9.0
        ink.posts.append(QRectF(shuts - _POST_PX, tail.y - tall / 2, _POST_PX, tall))
    elif shuts - tail.planned > 1.5:
        left = edges.keep(tail.planned)
        ink.blocks.append(QRectF(left, tail.spare_y - 1, edges.keep(shuts) - left, 2))
        ink.posts.append(QRectF(shuts - 2, tail.spare_y - 3, 2, 6))


def _taper(shoulder: float, end: float, y: float, half: float, tip: float) -> QPolygonF:
    return QPolygonF(
        [QPointF(shoulder, y - half), QPointF(end, y - tip), QPointF(end, y + tip), QPointF(shoulder, y + half)]
    )
