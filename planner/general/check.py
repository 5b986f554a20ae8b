"""Every rule of the general problem stated again, on its own: what a schedule breaks, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from planner.general.problem import GeneralProblem
from planner.intervals import Interval


def breaches(problem: GeneralProblem, starts: Sequence[int]) -> tuple[str, ...]:
    """Return what `starts`, one for each activity, break; nothing where they hold."""
    if len(starts) != len(problem.activities):
        return (f"{len(starts)} starts for {len(problem.activities)} activities",)
    return (*_time(problem, starts), *_lags(problem, starts), *_capacities(problem, starts))


def _time(problem: GeneralProblem, starts: Sequence[int]) -> list[str]:
    found = [f"activity {number} starts at {start}, before 0" for number, start in enumerate(starts) if start < 0]
    for number, activity in enumerate(problem.activities):
        finish = starts[number] + activity.length
        if problem.horizon is not None and finish > problem.horizon:
            found.append(f"activity {number} finishes at {finish}, after the horizon {problem.horizon}")
    return found


def _lags(problem: GeneralProblem, starts: Sequence[int]) -> list[str]:
    found = []
    for lag in problem.lags:
        between = starts[lag.after] - starts[lag.before]
        if between < lag.least:
            found.append(f"{lag.after} starts {between} after {lag.before}, at least {lag.least} required")
        if lag.most is not None and between > lag.most:
            found.append(f"{lag.after} starts {between} after {lag.before}, at most {lag.most} allowed")
    return found


def _capacities(problem: GeneralProblem, starts: Sequence[int]) -> list[str]:
    found = []
    for number, resource in enumerate(problem.resources):
        changes: Counter[int] = Counter()
        for activity, start in zip(problem.activities, starts, strict=True):
            demand = activity.demands[number]
            if not (activity.length and demand):
                continue
            finish = start + activity.length
            changes[start] += demand
            changes[finish] -= demand
            if resource.calendar is not None and not _within(resource.calendar, start, finish):
                found.append(f"resource {number}: held from {start} to {finish}, outside its calendar")
        held = 0
        for moment in sorted(changes):
            held += changes[moment]
            if held > resource.capacity:
                found.append(f"resource {number} at {moment}: {held} held of {resource.capacity}")
    return found


def _within(calendar: tuple[Interval, ...], start: int, finish: int) -> bool:
    return any(interval.start <= start and finish <= interval.finish for interval in calendar)
