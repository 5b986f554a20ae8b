"""The problem run backwards from a last finish, and what that is good for: pushing a schedule late and early again.

Forward and backward pushing of a whole schedule: Valls, Ballestín & Quintanilla, "Justification and RCPSP: a
technique that pays", European Journal of Operational Research 165 (2005). Lags change nothing in it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from planner.general.lay import Layer
from planner.general.problem import Resource
from planner.general.windows import Tightened
from planner.intervals import Interval, intersection


def pushed(layer: Layer, starts: tuple[int, ...]) -> tuple[int, ...] | None:
    """Return the schedule pushed as late as its last finish allows, then as early as it goes; None if one fails."""
    finish = layer.known.problem.finish_of(starts)
    backward = Layer(mirrored(layer.known, finish), layer.taken_up_at_most, layer.stop)
    ends = np.array(starts, dtype=np.int64) + layer.known.lengths
    late = backward.lay(finish - ends)
    layer.placings += backward.placings
    if late is None:
        return None
    return layer.lay(finish - np.array(late, dtype=np.int64) - layer.known.lengths)


def mirrored(known: Tightened, finish: int) -> Tightened:
    """Return what is known of the same problem run backwards: start s of length p becomes finish - s - p."""
    lengths = known.lengths
    paths = np.zeros_like(known.paths)
    paths[:-1, :-1] = (known.paths[:-1, :-1] + lengths[None, :] - lengths[:, None]).T
    paths[-1, :-1] = np.maximum(0, finish - lengths - known.latest)
    paths[:-1, -1] = known.earliest + lengths - finish
    resources = tuple(replace(r, calendar=_backward(r, finish)) for r in known.problem.resources)
    problem = replace(known.problem, lags=(), resources=resources)
    calendars = tuple(
        None if starts is None else _flipped(starts, finish - int(length) + 1)
        for starts, length in zip(known.calendars, lengths, strict=True)
    )
    return Tightened(problem, paths, known.apart, lengths, calendars)


def _backward(resource: Resource, finish: int) -> tuple[Interval, ...] | None:
    return None if resource.calendar is None else _flipped(resource.calendar, finish)


def _flipped(intervals: tuple[Interval, ...], end: int) -> tuple[Interval, ...]:
    """Return intervals of units counted back from `end`, none of them below 0."""
    back = [Interval(end - i.finish, end - i.start) for i in reversed(intervals)]
    return intersection(back, (Interval(0, max(end, 1)),))
