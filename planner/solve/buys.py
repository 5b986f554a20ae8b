"""What one more gang, or one more closure, would buy: the finish planned again with it, as long as without it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from planner.audit.names import names_of
from planner.audit.wording import day_words
from planner.model import Aim, Closure, ClosureState, Job, Plan
from planner.solve.run import solve_job
from planner.weather.job_weather import JobWeather

LONGEST_SHIFT_DAYS = 14
"""How far before a closure another one like it is looked for."""


@dataclass(frozen=True)
class Buy:
    """One more of something, in words, and the slots by which the plan then finishes sooner; none below 0."""

    words: str
    slots: int


def what_buys(
    job: Job, weather: JobWeather, plan: Plan, operations: Iterable[str], seconds: float, trials: int | None = None
) -> tuple[Buy, ...]:
    """Return what one more of each gang and closure that `operations` of the plan use would buy, the most first.

    Each is planned for `seconds` [s] or `trials` orders, and held against the better of `plan` and a plan found so.
    """
    now = _finish(job, weather, seconds, trials)
    best = plan.finish if now is None else min(plan.finish, now)
    found = []
    for words, other in _others(job, plan, set(operations)):
        finish = _finish(other, weather, seconds, trials)
        found.append(Buy(words, max(0, best - finish) if finish is not None else 0))
    return tuple(sorted(found, key=lambda buy: -buy.slots))


def _finish(job: Job, weather: JobWeather, seconds: float, trials: int | None) -> int | None:
    plan = solve_job(job, weather, aim=Aim.FINISH, seconds=seconds, trials=trials).plan
    return plan.finish if plan else None


def _others(job: Job, plan: Plan, operations: set[str]) -> Iterator[tuple[str, Job]]:
    names = names_of(job)
    used = [placed for placed in plan.placements if placed.operation in operations]
    for id in dict.fromkeys(placed.gang for placed in used):
        gang = job.gang(id)
        twin = gang.model_copy(update={"id": f"{id}_2", "name": f"{gang.name}, second"})
        yield f"one more like {names.gang(id)}", job.model_copy(update={"gangs": (*job.gangs, twin)})
    for name in dict.fromkeys(placed.closure for placed in used if placed.closure):
        closure = _one_more(job, job.closure(name))
        if closure is not None:
            hours = f"{_when(closure.start)} to {_when(closure.finish)}"
            words = f"one more like {names.closure(name)}, {hours}"
            yield words, job.model_copy(update={"closures": (*job.closures, closure)})


def _when(moment: datetime) -> str:
    return f"{day_words(moment.date())} {moment:%H:%M}"


def _one_more(job: Job, like: Closure) -> Closure | None:
    """Return a closure like `like`, on the last day before it when none of its lanes is shut; None if none is."""
    for days in range(1, LONGEST_SHIFT_DAYS + 1):
        start, finish = like.start - timedelta(days=days), like.finish - timedelta(days=days)
        clash = any(
            set(other.lanes) & set(like.lanes) and other.start < finish and start < other.finish
            for other in job.closures
            if other.state is not ClosureState.REFUSED
        )
        if start.date() < job.job.first_day:
            return None
        if not clash:
            return like.model_copy(update={"id": f"{like.id}_more", "start": start, "finish": finish})
    return None
