"""Work under a lane that is plated over between visits, as sets of slots."""

from __future__ import annotations

from collections.abc import Sequence

from planner.problem import bits

Windows = Sequence[tuple[int, int]]
"""Work windows [start, finish) of the closures that shut the lane."""


def between_plates(windows: Windows, plates: tuple[int, int]) -> int:
    """Return the slots in which the plates are lifted, `plates` slots for lifting and laying them taken off.

    Where closures of the same lanes overlap, the ends of each are kept free of work in the others too.
    """
    lift, lay = plates
    free = handling = 0
    for start, finish in windows:
        free |= bits.span(start + lift, finish - lay)
        handling |= bits.span(start, start + lift) | bits.span(max(start + lift, finish - lay), finish)
    return free & ~handling


def fit_under_plates(windows: Windows, plates: tuple[int, int], fits: Sequence[Sequence[int]], horizon: int) -> int:
    """Return the boundaries from which a layer is fit for traffic before the plates of its closure go down.

    fits: arrays of the slot at which it is fit, by its finish. Where closures overlap it must be so for all that
    hold the boundary.
    """
    lift, lay = plates
    ends = bits.span(0, horizon + 1)
    for opens in fits:
        fit = 0
        for finish in range(horizon + 1):
            limits = [end - lay for start, end in windows if start + lift < finish <= end - lay]
            if limits and opens[finish] <= min(limits):
                fit |= 1 << finish
        ends &= fit
    return ends
