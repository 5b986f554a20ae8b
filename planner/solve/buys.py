"""What one more gang, or one more closure, would buy: the finish planned again with it, as long as without it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from planner.audit.check import audit
from planner.audit.names import names_of
from planner.audit.wording import day_words
from planner.findings import Weight
from planner.model import Aim, Closure, ClosureState, Job, Plan
from planner.solve.as_plan import SLOTS_PER_DAY
from planner.solve.run import solve_job
from planner.units import Slot
from planner.weather.job_weather import JobWeather

LONGEST_SHIFT_DAYS = 21
"""How far before a closure another one like it is looked for."""


_FAR_OFF = 1 << 60
_ROUNDING = 1e-3
"""Slack, in slots, for figures kept in days to six decimals."""


@dataclass(frozen=True)
class Buy:
    """One more of something, in words, and the slots by which the plan then finishes sooner; none below 0.

    most: slots by which no plan with it finishes sooner than that.
    """

    words: str
    slots: int
    most: int

    @property
    def proved(self) -> bool:
        """Whether it surely buys no more than was found."""
        return self.slots >= self.most


@dataclass(frozen=True)
class Begun:
    """Work that has begun: it stays as `plan` has it, and nothing else starts before slot `now`."""

    plan: Plan
    now: Slot
    operations: frozenset[str]


@dataclass(frozen=True)
class Effort:
    """How long each is planned for: seconds [s], or so many orders; `say` hears what is being planned."""

    seconds: float
    trials: int | None = None
    say: Callable[[str], None] = lambda _words: None


def what_buys(
    job: Job, weather: JobWeather, plan: Plan, operations: Iterable[str], effort: Effort, begun: Begun | None = None
) -> tuple[Buy, ...]:
    """Return what one more of each gang and closure that `operations` of the plan use would buy, the most first.

    Each is planned alike, its plan audited, and held against the better of `plan` and one found so without it. A plan
    made without it is also one with it, so that it never costs time. begun: what has begun of `plan`.
    """
    effort.say("planning with nothing more")
    alone, _ = _finish(job, weather, effort, begun)
    best = min(plan.finish, alone)
    found = []
    for words, other in _others(job, plan, set(operations)):
        effort.say(f"planning with {words}")
        finish, least = _finish(other, weather, effort, begun)
        found.append(Buy(words, max(0, best - finish), max(0, best - least)))
    return tuple(sorted(found, key=lambda buy: -buy.slots))


def _finish(job: Job, weather: JobWeather, effort: Effort, begun: Begun | None) -> tuple[int, int]:
    """Return the finish of an audited plan, and a slot before which none finishes; far off and 0 without a plan."""
    plan = solve_job(
        job,
        weather,
        aim=Aim.FINISH,
        seconds=effort.seconds,
        trials=effort.trials,
        explain=False,
        base=begun.plan if begun else None,
        now=begun.now if begun else None,
        begun=begun.operations if begun else None,
    ).plan
    kept = begun.operations if begun else frozenset[str]()
    found = () if plan is None else audit(job, weather, plan)
    if plan is None or any(one.weight is Weight.BREACH and one.place not in kept for one in found):
        return _FAR_OFF, 0
    return plan.finish, math.ceil(plan.bound * SLOTS_PER_DAY - _ROUNDING)


def _others(job: Job, plan: Plan, operations: set[str]) -> Iterator[tuple[str, Job]]:
    names = names_of(job)
    used = [placed for placed in plan.placements if placed.operation in operations]
    for id in dict.fromkeys(placed.gang for placed in used):
        gang = job.gang(id)
        twin = gang.model_copy(update={"id": f"{id}_2", "name": f"{gang.name}, second"})
        yield f"one more like {names.gang(id)}", job.model_copy(update={"gangs": (*job.gangs, twin)})
    told = set[tuple[frozenset[str], datetime, datetime]]()
    for name in dict.fromkeys(placed.closure for placed in used if placed.closure):
        closure = _one_more(job, job.closure(name))
        same = None if closure is None else (frozenset(closure.lanes), closure.start, closure.finish)
        if closure is not None and same is not None and same not in told:
            told.add(same)
            hours = f"{_when(closure.start)} to {_when(closure.finish)}"
            words = f"one more closure of {names.lanes_of(closure.lanes)}, {hours}"
            yield words, job.model_copy(update={"closures": (*job.closures, closure)})


def _when(moment: datetime) -> str:
    return f"{day_words(moment.date())} {moment:%H:%M}"


def _one_more(job: Job, like: Closure) -> Closure | None:
    """Return a closure like `like`, weeks before it or else days, when none of its lanes is shut; None if none is."""
    weeks = range(7, LONGEST_SHIFT_DAYS + 1, 7)
    for days in (*weeks, *(day for day in range(1, LONGEST_SHIFT_DAYS + 1) if day not in weeks)):
        start, finish = like.start - timedelta(days=days), like.finish - timedelta(days=days)
        clash = any(
            set(other.lanes) & set(like.lanes) and other.start < finish and start < other.finish
            for other in job.closures
            if other.state is not ClosureState.REFUSED
        )
        if not clash and start.date() >= job.job.first_day:
            return like.model_copy(update={"id": f"{like.id}_more", "start": start, "finish": finish})
    return None
