"""Words beside bars: above or below, cut to the room there is, and never over each other."""

from __future__ import annotations

from collections.abc import Sequence

from app.board.rows import RowStyle
from app.board.shapes import BarShape, LabelShape, Measure

ELLIPSIS = "…"
GAP_PX = 8.0
"""White between two labels."""
LEAST_PX = 26.0
"""A label with less room than this is left out: two letters and an ellipsis help nobody."""


def elide(text: str, room: float, measure: Measure) -> str:
    """Return `text` cut to `room` pixels with an ellipsis; empty where not even two letters fit."""
    if measure(text) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if measure(text[:middle].rstrip() + ELLIPSIS) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + ELLIPSIS if low >= 2 else ""


def place_labels(bars: Sequence[BarShape], style: RowStyle, top: float, measure: Measure) -> list[LabelShape]:
    """Return labels of the bars (sorted by x0): whole above, else whole below, else cut where there is more room."""
    tracks = [top + y for y in (style.above_y, style.below_y) if y is not None]
    ends = [float("-inf")] * len(tracks)
    named = [bar for bar in bars if bar.merged == 1 and bar.visit.number == 1]
    placed: list[LabelShape] = []
    for number, bar in enumerate(named if tracks else ()):
        need = measure(bar.visit.name)
        track, room = _best(ends, [_room(named, number, len(tracks))] * len(tracks), bar, need)
        if track is None:
            continue
        text = elide(bar.visit.name, room, measure)
        if text:
            end = bar.x0 + measure(text)
            placed.append(LabelShape(bar.x0, end, tracks[track], text, bar.visit.name))
            ends[track] = end
    return placed


def _room(named: Sequence[BarShape], number: int, tracks: int) -> float:
    """Return the pixels until the next bar that will want the same track."""
    other = number + tracks
    return named[other].x0 - named[number].x0 - GAP_PX if other < len(named) else float("inf")


def _best(ends: list[float], rooms: list[float], bar: BarShape, need: float) -> tuple[int | None, float]:
    """Return the first free track where the label fits whole, else the first free one with some room."""
    free = [i for i, end in enumerate(ends) if bar.x0 >= end + GAP_PX]
    for i in free:
        if need <= rooms[i]:
            return i, need
    for i in free:
        if rooms[i] >= LEAST_PX:
            return i, rooms[i]
    return None, 0.0
