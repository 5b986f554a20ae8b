"""Gangs on their way and plant in the exact model."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from planner.problem import bits
from planner.solve.exact_ground import ModelGround
from planner.solve.exact_meanings import Bounds, is_before
from planner.solve.exact_parts import TaskVars, VisitVars


def state_moves(made: ModelGround, gang: int) -> None:
    """State that a gang has time to move between visits to different structures."""
    move = made.problem.gangs[gang].move
    for first, second in combinations(made.by_gang[gang], 2):
        if first[0].task.structure == second[0].task.structure or not _could_meet(first[0], second[0], move):
            continue
        order = made.literal(is_before(first[0].task.index, second[0].task.index))
        both = [first[2], second[2]]
        made.model.add(first[1].finish + move <= second[1].start).only_enforce_if([order, *both])
        made.model.add(second[1].finish + move <= first[1].start).only_enforce_if([~order, *both])


def _could_meet(first: TaskVars, second: TaskVars, move: int) -> bool:
    def reach(one: TaskVars) -> Bounds:
        return bits.first_from(one.starts, 0) or 0, one.ends.bit_length() - 1

    (a, b), (c, d) = reach(first), reach(second)
    return a < d + move and c < b + move


def state_plant(made: ModelGround, plant: int, count: int) -> None:
    """State that no more than `count` units of plant are busy at once, with visits and with holds."""
    intervals, fixed = [], []
    for rules in made.scope.workshop.rules:
        for place, index in enumerate(rules.unit.tasks):
            if plant in made.problem.tasks[index].plant and plant not in rules.held[place]:
                if index in made.tasks:
                    intervals += [whole_interval(made, visit) for visit in made.tasks[index].visits]
                else:
                    fixed += [(visit.start, visit.finish) for visit in made.scope.fixed[index].visits]
    for hold in made.problem.holds:
        if hold.plant == plant:
            start, finish = made.start_of(hold.first), made.finish_of(hold.last)
            if isinstance(start, int) and isinstance(finish, int):
                fixed.append((start, finish))
            else:
                size = made.model.new_int_var(0, made.scope.latest, "")
                intervals.append(made.model.new_interval_var(start, size, finish, ""))
    if not intervals:
        return
    intervals += [made.model.new_fixed_size_interval_var(start, finish - start, "") for start, finish in fixed]
    if count == 1:
        made.model.add_no_overlap(intervals)
    else:
        made.model.add_cumulative(intervals, [1] * len(intervals), count)


def whole_interval(made: ModelGround, visit: VisitVars) -> Any:
    """Return the interval of a visit, whoever makes it."""
    if isinstance(visit.size, int):
        return made.model.new_fixed_size_interval_var(visit.start, visit.size, "")
    if visit.present is None:
        return made.model.new_interval_var(visit.start, visit.size, visit.finish, "")
    return made.model.new_optional_interval_var(visit.start, visit.size, visit.finish, visit.present, "")
