"""Bounds by leaving units out: what some units need at the least, together but without the rest, every plan needs.

For closures, parts that share no closure add up. For the finish, `floors` refutes parts by a tight last slot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from planner.problem.parts import Lag, Placed, Problem
from planner.solve.schedule import Schedule, ends_of


def only(problem: Problem, units: Iterable[int]) -> Problem:
    """Return the problem of some units alone: gangs, plant and closures stay, all else of the others is left out."""
    kept = sorted(set(units))
    tasks = sorted(task for unit in kept for task in problem.units[unit].tasks)
    new = {old: place for place, old in enumerate(tasks)}
    number = {old: place for place, old in enumerate(kept)}

    def moved(lag: Lag) -> Lag:
        return replace(lag, after=new[lag.after], before=new[lag.before])

    return replace(
        problem,
        tasks=tuple(replace(problem.tasks[old], index=new[old]) for old in tasks),
        lags=tuple(moved(lag) for lag in problem.lags if lag.after in new and lag.before in new),
        stretches=tuple(
            replace(
                stretch,
                members=tuple(new[member] for member in stretch.members),
                fits=tuple((new[task], opens) for task, opens in stretch.fits),
            )
            for stretch in problem.stretches
            if stretch.members[0] in new
        ),
        holds=tuple(
            replace(hold, first=new[hold.first], last=new[hold.last]) for hold in problem.holds if hold.first in new
        ),
        units=tuple(
            replace(
                problem.units[old],
                index=number[old],
                tasks=tuple(new[task] for task in problem.units[old].tasks),
                needs=frozenset(number[need] for need in problem.units[old].needs if need in number),
            )
            for old in kept
        ),
        chosen_cost=0.0,
    )


def in_whole(problem: Problem, units: Iterable[int], placed: Iterable[Placed]) -> dict[int, Placed]:
    """Return what was placed in the problem of some units alone, by the number that each task has in the whole."""
    tasks = sorted(task for unit in set(units) for task in problem.units[unit].tasks)
    return {tasks[one.task]: replace(one, task=tasks[one.task]) for one in placed}


def closure_groups(problem: Problem) -> list[tuple[int, ...]]:
    """Return groups of units such that no two groups can use the same closure; units off the road are left out."""
    groups: list[tuple[set[int], set[int]]] = []
    for unit in problem.units:
        closures = set(_closures_of(problem, unit.index))
        if not closures:
            continue
        joined = [group for group in groups if group[1] & closures]
        groups = [group for group in groups if not group[1] & closures]
        groups.append(
            ({unit.index}.union(*(units for units, _ in joined)), closures.union(*(shut for _, shut in joined)))
        )
    return [tuple(sorted(units)) for units, _ in groups]


def _closures_of(problem: Problem, unit: int) -> Iterator[int]:
    tasks = problem.units[unit].tasks
    for index in tasks:
        yield from problem.tasks[index].closures or ()
    for stretch in problem.stretches:
        if stretch.members[0] in tasks:
            yield from stretch.closures


def around_last(problem: Problem, schedule: Schedule, size: int) -> tuple[int, ...]:
    """Return the units that end last in a schedule and those that most compete with them, to about `size` tasks."""
    ends = ends_of(problem, schedule.placed)
    order = sorted(range(len(ends)), key=lambda unit: -ends[unit])
    chosen = [order[0], *(need for need in problem.units[order[0]].needs)]
    closures, plant = set(_closures_of(problem, order[0])), _plant_of(problem, order[0])

    def kinship(unit: int) -> tuple[int, int]:
        shared = len(closures & set(_closures_of(problem, unit))) > 0
        return 2 * bool(plant & _plant_of(problem, unit)) + shared, ends[unit]

    for unit in sorted(order, key=kinship, reverse=True):
        if sum(len(problem.units[one].tasks) for one in {*chosen, unit}) > size:
            break
        chosen.append(unit)
    return tuple(sorted(set(chosen)))


def _plant_of(problem: Problem, unit: int) -> set[int]:
    tasks = problem.units[unit].tasks
    held = {hold.plant for hold in problem.holds if hold.first in tasks}
    return held | {plant for task in tasks for plant in problem.tasks[task].plant}
