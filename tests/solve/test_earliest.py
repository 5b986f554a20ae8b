"""The earliest place of cut work against asking every gang, slot by slot and closure by closure."""

from __future__ import annotations

import random
from functools import cache

import pytest

from planner.problem.build import build_problem
from planner.problem.parts import Placed, Task, Visit
from planner.solve.earliest import Room, earliest
from planner.solve.profile import Profile
from planner.solve.schedule import Workshop, make_workshop
from tests.benchmarks.made_jobs import made_job


@cache
def _workshop() -> Workshop:
    return make_workshop(build_problem(*made_job(150)))


def _slow(room: Room, task: Task, low: int, closure: int | None) -> Placed | None:
    """Ask every gang for all its visits; the first of those that finish, then start, soonest."""
    found = [one for _, gang in room.asked(task.gangs) if (one := _by(room, task, gang, low, closure)) is not None]
    return min(found, key=lambda one: (one.finish, one.start), default=None)


def _by(room: Room, task: Task, gang: int, low: int, closure: int | None) -> Placed | None:
    problem, visits, left, slot = room.masks.problem, [], task.length, low
    free = task.good & problem.gangs[gang].shifts & ~room.profile.blocked[gang][task.structure]
    while left:
        options: list[Visit] = []
        while slot < problem.horizon and not options:
            for one in _closures(room, task, closure):
                options += _from(room, task, gang, free, slot, left, one)
            slot += 1
        if not options:
            return None
        used = room.profile.closures_used
        visits.append(min(options, key=lambda one: (-one.finish, one.closure not in used)))
        left, slot = left - visits[-1].finish + visits[-1].start, visits[-1].finish
    return Placed(task.index, gang, tuple(visits))


def _closures(room: Room, task: Task, closure: int | None) -> list[int | None]:
    if closure is not None or task.closures is None:
        return [closure]
    return [one for one in task.closures if one in room.allowed]


def _from(room: Room, task: Task, gang: int, free: int, start: int, left: int, closure: int | None) -> list[Visit]:
    """Return the longest visit that begins at `start`, if there is one."""
    problem, finish = room.masks.problem, start
    begin, end = (0, problem.horizon) if closure is None else _window(room, closure)
    while finish - start < left and free >> finish & 1 and begin <= finish < end:
        if finish > start and problem.gangs[gang].starts >> finish & 1:
            break
        finish += 1
    while finish > start and not task.ends >> finish & 1:
        finish -= 1
    return [Visit(start, finish, closure)] if finish - start >= min(task.min_visit, left) else []


def _window(room: Room, closure: int) -> tuple[int, int]:
    rule = room.masks.problem.closures[closure]
    return rule.start, rule.finish


@pytest.mark.parametrize("seed", range(6))
def test_cut_work_goes_where_asking_every_gang_puts_it(seed: int) -> None:
    draw, shop = random.Random(seed), _workshop()
    problem = shop.problem
    profile = Profile(problem)
    gangs = list(range(len(problem.gangs)))
    draw.shuffle(gangs)
    allowed = frozenset(index for index in range(len(problem.closures)) if draw.random() < 0.7)
    room = Room(shop.masks, profile, allowed, tuple(gangs))
    cut = [task for task in problem.tasks if task.splittable]
    shut = [task for task in cut if task.closures]
    placed = 0
    for task in draw.sample(cut, 8) + draw.sample(shut, min(4, len(shut))):
        low = draw.randrange(600)
        closure = draw.choice(task.closures) if task.closures and draw.random() < 0.4 else None
        found = earliest(room, task, low, closure, {}, ())
        assert found == _slow(room, task, low, closure)
        if found is not None:
            profile.book(found)
            placed += 1
    assert placed >= 4
