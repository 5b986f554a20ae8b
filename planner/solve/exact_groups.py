"""A schedule with few closures, group by group: units that can share closures are placed exactly, the others after.

Each group is placed at its fewest closures with the groups before it fixed; what needs no road follows into what is
left free. That finds plans; it proves nothing by itself.
"""

from __future__ import annotations

from collections.abc import Callable

from planner.model import Aim
from planner.problem.parts import Placed, Visit
from planner.solve.closure_bounds import closures_bound
from planner.solve.earliest import Room
from planner.solve.exact import Limits, solve_exactly
from planner.solve.exact_bounds import closure_groups, in_whole, only
from planner.solve.exact_scope import Scope
from planner.solve.place import Stuck, book_unit, place_unit
from planner.solve.profile import Profile
from planner.solve.schedule import Choice, Schedule, Workshop, in_order, make_workshop, needs_of


def by_groups(workshop: Workshop, known: Schedule, limits: Limits, stop: Callable[[], bool]) -> Schedule | None:
    """Return a schedule with few closures, or None where a group or what follows it finds no place.

    known: a schedule to begin each group's search from.
    """
    problem = workshop.problem
    done: list[int] = []
    placed: dict[int, Placed] = {}
    for group in closure_groups(problem):
        new = sorted({*group, *(need for unit in group for need in needs_of(problem, unit))} - set(done))
        found = _place(workshop, done, new, placed, known, limits, stop)
        if found is None or stop():
            return None
        placed.update(found)
        done += new
    return _with_the_rest(workshop, done, placed)


def _place(
    workshop: Workshop,
    done: list[int],
    new: list[int],
    placed: dict[int, Placed],
    known: Schedule,
    limits: Limits,
    stop: Callable[[], bool],
) -> dict[int, Placed] | None:
    """Place the `new` units with the fewest closures while those `done` stay; by task, or None."""
    problem = workshop.problem
    tasks = sorted(task for unit in (*done, *new) for task in problem.units[unit].tasks)
    number = {task: place for place, task in enumerate(tasks)}
    part = make_workshop(only(problem, (*done, *new)))
    fixed = {number[task]: Placed(number[task], *_where(one)) for task, one in placed.items()}
    free = frozenset(number[task] for unit in new for task in problem.units[unit].tasks)
    scope = Scope(part, free, fixed, workshop.all_closures, problem.horizon)
    hint = [Placed(number[task], *_where(known.placed[task])) for task in tasks]
    found = solve_exactly(scope, Aim.CLOSURES, limits, stop, hint, floor=closures_bound(part)[0])
    if found.placed is None:
        return None
    return in_whole(problem, (*done, *new), found.placed)


def _where(placed: Placed) -> tuple[int, tuple[Visit, ...]]:
    return placed.gang, placed.visits


def _with_the_rest(workshop: Workshop, done: list[int], placed: dict[int, Placed]) -> Schedule | None:
    problem = workshop.problem
    profile = Profile(problem)
    for unit in done:
        _book(workshop, profile, unit, placed)
    used = frozenset(visit.closure for one in placed.values() for visit in one.visits if visit.closure is not None)
    room = Room(workshop.masks, profile, used, workshop.all_gangs)
    for unit in in_order(problem, range(len(problem.units))):
        if unit not in done:
            laid = place_unit(problem, workshop.rules[unit], room, placed)
            if isinstance(laid, Stuck):
                return None
            placed.update((one.task, one) for one in laid)
            _book(workshop, profile, unit, placed)
    order = in_order(
        problem, sorted(range(len(problem.units)), key=lambda u: placed[problem.units[u].tasks[0]].start)
    )
    choice = Choice(order, used, workshop.all_gangs)
    return Schedule(tuple(placed[task] for task in sorted(placed)), choice)


def _book(workshop: Workshop, profile: Profile, unit: int, placed: dict[int, Placed]) -> None:
    tasks = workshop.problem.units[unit].tasks
    book_unit(workshop.problem, workshop.rules[unit], profile, [placed[task] for task in tasks])
