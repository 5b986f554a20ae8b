"""Before any search: which starts the calendars leave, which pairs never run together, and what follows from both."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.general.distances import Contradiction, Matrix, Vector, arcs, close, lengthen_all
from planner.general.problem import GeneralProblem
from planner.intervals import Interval, intersection

Flags = NDArray[np.bool_]


@dataclass(eq=False)
class Tightened:
    """A problem with all that was found out about it.

    paths: longest paths [n+1, n+1], see `distances`; apart: pairs that never overlap [n, n]; lengths: [n];
    calendars: for each activity the starts that its resources' calendars leave, None for all.
    """

    problem: GeneralProblem
    paths: Matrix
    apart: Flags
    lengths: Vector
    calendars: tuple[tuple[Interval, ...] | None, ...]

    @property
    def earliest(self) -> Vector:
        """Earliest starts [n]."""
        return self.paths[-1, :-1]

    @property
    def latest(self) -> Vector:
        """Latest starts [n] under the horizon."""
        return -self.paths[:-1, -1]

    def copy(self) -> Tightened:
        """Return the same with paths of its own."""
        return Tightened(self.problem, self.paths.copy(), self.apart, self.lengths, self.calendars)

    def bound(self) -> int:
        """Return the earliest last finish that the earliest starts and the work on each resource leave."""
        if not len(self.lengths):
            return 0
        return max(int((self.earliest + self.lengths).max()), _work_bound(self))


def tightened(problem: GeneralProblem) -> Tightened:
    """Return what holds of every schedule; Contradiction where none can hold."""
    lengths = np.array([activity.length for activity in problem.activities], dtype=np.int64)
    calendars = _start_calendars(problem)
    made = Tightened(problem, arcs(problem), _apart(problem), lengths, calendars)
    finish_by(made, safe_horizon(problem))
    return made


def finish_by(known: Tightened, horizon: int) -> None:
    """Work out, in place, what follows where everything finishes by `horizon`; Contradiction where nothing can."""
    late = known.lengths - horizon
    np.maximum(known.paths[:-1, -1], late, out=known.paths[:-1, -1])
    close(known.paths)
    propagate(known)


def propagate(known: Tightened) -> None:
    """Work out, in place, what follows from windows, calendars and pairs, until nothing more does."""
    moved = True
    while moved:
        moved = _keep_calendars(known)
        moved = _order_pairs(known) or moved


def safe_horizon(problem: GeneralProblem) -> int:
    """Return a last finish that some schedule keeps, where any schedule exists.

    After the last instant of every calendar, a moment at which no activity runs and no least lag is still open can be
    taken out of any schedule by moving all later starts forward; so lengths or longest lags cover the rest.
    """
    spans = [activity.length for activity in problem.activities]
    for lag in problem.lags:
        spans[lag.before] = max(spans[lag.before], lag.least)
        if lag.most is not None:
            spans[lag.after] = max(spans[lag.after], -lag.most)
    ends = [r.calendar[-1].finish for r in problem.resources if r.calendar]
    horizon = sum(spans) + max(ends, default=0)
    return horizon if problem.horizon is None else min(horizon, problem.horizon)


def _apart(problem: GeneralProblem) -> Flags:
    """Return the pairs that together demand more of a resource than there is."""
    count = len(problem.activities)
    apart = np.zeros((count, count), dtype=np.bool_)
    for number, resource in enumerate(problem.resources):
        demands = np.array([a.demands[number] if a.length else 0 for a in problem.activities], dtype=np.int64)
        if np.any(demands > resource.capacity):
            raise Contradiction
        both = (demands[:, None] > 0) & (demands[None, :] > 0)
        apart |= both & (demands[:, None] + demands[None, :] > resource.capacity)
    np.fill_diagonal(apart, False)
    return apart


def _start_calendars(problem: GeneralProblem) -> tuple[tuple[Interval, ...] | None, ...]:
    found: list[tuple[Interval, ...] | None] = [None] * len(problem.activities)
    for number, resource in enumerate(problem.resources):
        if resource.calendar is None:
            continue
        for user in problem.users(number):
            length = problem.activities[user].length
            fits = [i for i in resource.calendar if i.length >= length]
            starts = tuple(Interval(i.start, i.finish - length + 1) for i in fits)
            held = found[user]
            found[user] = starts if held is None else intersection(held, starts)
    return tuple(found)


def _keep_calendars(known: Tightened) -> bool:
    """Move windows in to starts that the calendars leave; say whether any moved."""
    longer = []
    zero = len(known.lengths)
    for number, starts in enumerate(known.calendars):
        if starts is None:
            continue
        early, late = int(known.paths[zero, number]), int(-known.paths[number, zero])
        first, last = first_start(starts, early), _last_start(starts, late)
        if first is None or last is None:
            raise Contradiction
        if first > early:
            longer.append((zero, number, first))
        if last < late:
            longer.append((number, zero, -last))
    lengthen_all(known.paths, longer)
    return bool(longer)


def first_start(starts: tuple[Interval, ...], early: int) -> int | None:
    """Return the first start in sorted intervals at or after `early`."""
    place = bisect_right(starts, early, key=lambda interval: interval.finish)
    return max(early, starts[place].start) if place < len(starts) else None


def _last_start(starts: tuple[Interval, ...], late: int) -> int | None:
    place = bisect_right(starts, late, key=lambda interval: interval.start)
    return min(late, starts[place - 1].finish - 1) if place else None


def _order_pairs(known: Tightened) -> bool:
    """Where one of a pair apart can't come first, the other does; say whether any order is new."""
    between = known.paths[:-1, :-1]
    must = known.apart & (between > -known.lengths[None, :]) & (between < known.lengths[:, None])
    pairs = np.argwhere(must).tolist()
    lengthen_all(known.paths, [(tail, head, int(known.lengths[tail])) for tail, head in pairs])
    return bool(pairs)


def _work_bound(known: Tightened) -> int:
    """For each resource: its earliest start, all its work at full capacity, and the shortest run-out after it."""
    best = 0
    paths = known.paths[:-1, :-1]
    tails = (paths + known.lengths[None, :]).max(axis=1) - known.lengths
    for number, resource in enumerate(known.problem.resources):
        users = list(known.problem.users(number))
        if users:
            demands = np.array([known.problem.activities[user].demands[number] for user in users])
            work = int((demands * known.lengths[users]).sum())
            best = max(best, int(known.earliest[users].min() + tails[users].min()) - -work // resource.capacity)
    return best
