"""Whether the work with some plant surely is more than the slots hold in which it can be done."""

from __future__ import annotations

from planner.problem import bits
from planner.solve.exact_scope import Windows, whole_scope, windows_of
from planner.solve.schedule import Workshop


def too_much_for_plant(workshop: Workshop) -> bool:
    """Say whether some plant is asked for longer than all its units together can work; holds are left out."""
    windows = windows_of(whole_scope(workshop))
    if not windows.possible:
        return True
    return any(_is_over(workshop, windows, plant) for plant in range(len(workshop.problem.plant_counts)))


def _is_over(workshop: Workshop, windows: Windows, plant: int) -> bool:
    asked, room = 0, 0
    for rules in workshop.rules:
        for place, index in enumerate(rules.unit.tasks):
            task = workshop.problem.tasks[index]
            if plant in task.plant and plant not in rules.held[place]:
                asked += task.length
                reach = 0 if task.splittable else task.length - 1
                for mask in windows.room[index]:
                    room |= bits.widen(mask, 0, reach)
    return asked > workshop.problem.plant_counts[plant] * room.bit_count()
