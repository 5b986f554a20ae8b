"""All starts tried, unit by unit, with every rule read off the definition: slow, short, and on its own."""

from __future__ import annotations

import random

from planner.general import Activity, GeneralProblem, Lag, Resource
from planner.intervals import Interval


def holds(problem: GeneralProblem, starts: tuple[int, ...]) -> bool:
    """Say whether starts keep every rule, by looking at each unit of time."""
    if min(starts, default=0) < 0:
        return False
    if not _lags_kept(problem, starts):
        return False
    last = max((s + a.length for s, a in zip(starts, problem.activities, strict=True)), default=0)
    if problem.horizon is not None and last > problem.horizon:
        return False
    return all(
        _kept(problem, starts, number, moment) for number in range(len(problem.resources)) for moment in range(last)
    )


def _kept(problem: GeneralProblem, starts: tuple[int, ...], number: int, moment: int) -> bool:
    resource = problem.resources[number]
    running = [a for s, a in zip(starts, problem.activities, strict=True) if s <= moment < s + a.length]
    held = sum(activity.demands[number] for activity in running)
    there = resource.calendar is None or any(i.start <= moment < i.finish for i in resource.calendar)
    return held == 0 or (there and held <= resource.capacity)


def best_finish(problem: GeneralProblem, up_to: int) -> int | None:
    """Return the earliest last finish of all starts that finish by `up_to`; None where none hold.

    Starts are tried one activity after another; a branch is left where it already passes a lag or the best so far.
    """
    best: list[int] = []

    def try_all(starts: tuple[int, ...], finish: int) -> None:
        if len(starts) == len(problem.activities):
            if holds(problem, starts):
                best[:] = [finish]
            return
        length = problem.activities[len(starts)].length
        for start in range(up_to - length + 1):
            later = max(finish, start + length)
            if best and later >= best[0]:
                return
            if _lags_kept(problem, (*starts, start)):
                try_all((*starts, start), later)

    try_all((), 0)
    return best[0] if best else None


def _lags_kept(problem: GeneralProblem, starts: tuple[int, ...]) -> bool:
    """Say whether the lags between the activities that have starts are kept."""
    for lag in problem.lags:
        if max(lag.before, lag.after) < len(starts):
            between = starts[lag.after] - starts[lag.before]
            if between < lag.least or (lag.most is not None and between > lag.most):
                return False
    return True


def tiny_problem(seed: int) -> GeneralProblem:
    """Return a random problem of up to five activities, some without any schedule."""
    chance = random.Random(seed)
    count, kinds = chance.randint(1, 5), chance.randint(1, 2)
    longest = 2 if count > 3 else 3
    capacities = [chance.randint(1, 3) for _ in range(kinds)]
    activities = tuple(
        Activity(chance.randint(0, longest), tuple(chance.randint(0, capacity) for capacity in capacities))
        for _ in range(count)
    )
    lags = tuple(_lag(chance, count, longest) for _ in range(chance.randint(0, count)) if count > 1)
    resources = tuple(Resource(capacity, _calendar(chance)) for capacity in capacities)
    return GeneralProblem(activities, lags, resources, 7 if count > 3 else chance.choice([None, None, 6, 9]))


def _lag(chance: random.Random, count: int, longest: int) -> Lag:
    before, after = chance.sample(range(count), 2)
    least = chance.randint(-longest, longest)
    return Lag(before, after, least, chance.choice([None, least + chance.randint(0, 2)]))


def _calendar(chance: random.Random) -> tuple[Interval, ...] | None:
    if chance.random() < 0.6:
        return None
    first, gap = chance.randint(0, 2), chance.randint(0, 2)
    length, other = chance.randint(1, 4), chance.randint(1, 4)
    second = first + length + gap
    return (Interval(first, first + length), Interval(second, second + other))
