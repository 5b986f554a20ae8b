"""A gap's arrays as few linear rules: exact on the slots that its two ends can take, and with the fewest lags.

Where the end before the gap lies at z, the end after it must lie at or after opens[z]. Of the slots that it can
take at all, let n be the first that may and p the last that may not: then every lag c with p < z + c ≤ n says the
same, "not before z + c". So each z allows a range of lags, and the fewest lags that serve all z are found by
stabbing the ranges from the left (the classical greedy rule for intervals, exact). The same holds for shuts.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from planner.problem import bits


@dataclass(frozen=True)
class LagClass:
    """For z in `anchors`: the other end is not before (or, of shuts, not after) z + lag."""

    lag: int
    anchors: tuple[int, ...]


@dataclass(frozen=True)
class _Range:
    anchor: int
    least: int
    most: int


def opening_classes(opens: Sequence[int], anchors: int, values: int) -> tuple[tuple[LagClass, ...], int]:
    """Return (classes, anchors without an answer) for "not before opens[z]".

    anchors, values: bit sets of the slots that the two ends can take. The second result is the bit set of anchors
    from which the other end has no slot left.
    """
    taken = bits.slots(values)
    ranges, hopeless = [], 0
    for anchor in bits.slots(anchors):
        place = bisect_left(taken, opens[anchor])
        if place == len(taken):
            hopeless |= 1 << anchor
        elif place > 0:
            ranges.append(_Range(anchor, taken[place - 1] + 1 - anchor, taken[place] - anchor))
    return _classes(ranges), hopeless


def shutting_classes(shuts: Sequence[int], anchors: int, values: int) -> tuple[tuple[LagClass, ...], int]:
    """Return the same for "not after shuts[z]"."""
    taken = bits.slots(values)
    ranges, hopeless = [], 0
    for anchor in bits.slots(anchors):
        place = bisect_right(taken, shuts[anchor])
        if place == 0:
            hopeless |= 1 << anchor
        elif place < len(taken):
            ranges.append(_Range(anchor, taken[place - 1] - anchor, taken[place] - 1 - anchor))
    return _classes(ranges), hopeless


def _classes(ranges: Sequence[_Range]) -> tuple[LagClass, ...]:
    """Return the fewest lags so that each range holds one, with the anchors that take it."""
    found: list[LagClass] = []
    rest = sorted(ranges, key=lambda one: one.most)
    while rest:
        lag = rest[0].most
        served = tuple(sorted(one.anchor for one in rest if one.least <= lag))
        found.append(LagClass(lag, served))
        rest = [one for one in rest if one.least > lag]
    return tuple(found)
