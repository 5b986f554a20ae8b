"""A schedule as a plan, with its figures in the units that people see."""

from __future__ import annotations

from dataclasses import replace

from planner.model import Aim, Job, Placement, Plan, PlanStatus
from planner.problem.parts import Placed, Problem, Visit
from planner.solve.schedule import Schedule, Workshop, worth
from planner.units import SLOTS_PER_HOUR, Slot

SLOTS_PER_DAY = 24 * SLOTS_PER_HOUR


def in_units(figure: float, aim: Aim) -> float:
    """Return a figure in the unit that people see: finishes in days from slot 0, the others as they are."""
    return round(figure / SLOTS_PER_DAY, 6) if aim is Aim.FINISH else round(figure, 2)


def value_of(workshop: Workshop, schedule: Schedule, aim: Aim) -> float:
    """Return what the schedule is worth for `aim` in the unit that people see."""
    return in_units(worth(workshop.problem, schedule, aim)[0], aim)


def joined(problem: Problem, placed: Placed) -> tuple[Visit, ...]:
    """Return a task's visits with those made one that follow each other at once in one shift and one closure.

    They are one spell of work. Left as they are where another unit of plant may have taken over between them, and
    where an issued plan names them.
    """
    task = problem.tasks[placed.task]
    may_change = any(problem.plant_counts[kind] > 1 for kind in task.plant)
    if len(placed.visits) < 2 or may_change or task.issued is not None:
        return placed.visits
    shift_starts = 0 if task.any_time else problem.gangs[placed.gang].starts
    first, *rest = placed.visits
    found = [first]
    for visit in rest:
        last = found[-1]
        if last.finish == visit.start and last.closure == visit.closure and not shift_starts >> visit.start & 1:
            found[-1] = replace(last, finish=visit.finish)
        else:
            found.append(visit)
    return tuple(found)


def make_plan(job: Job, workshop: Workshop, schedule: Schedule, aim: Aim, floor: float) -> Plan:
    """Return the schedule as a plan, in order of time."""
    problem = workshop.problem
    placements = [
        Placement(
            operation=problem.tasks[placed.task].key,
            visit=number,
            gang=problem.gangs[placed.gang].id,
            start=Slot(visit.start),
            finish=Slot(visit.finish),
            closure=None if visit.closure is None else problem.closures[visit.closure].id,
            alternative=problem.tasks[placed.task].alternative,
        )
        for placed in schedule.placed
        for number, visit in enumerate(joined(problem, placed), start=1)
    ]
    value = value_of(workshop, schedule, aim)
    lowest = min(in_units(floor, aim), value)
    return Plan(
        job=job.job.name,
        status=PlanStatus.OPTIMAL if value <= in_units(floor, aim) + 1e-9 else PlanStatus.FEASIBLE,
        aim=aim,
        value=value,
        bound=lowest,
        placements=tuple(sorted(placements, key=lambda placed: (placed.start, placed.operation))),
    )
