"""A whole schedule from an order of units, and what it is worth for each aim."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import product

from planner.model import Aim
from planner.problem.parts import Placed, Problem, Task
from planner.solve.earliest import Room, as_issued
from planner.solve.masks import Masks, make_masks
from planner.solve.place import Rules, Stuck, book_unit, booked, place_unit, rules_of
from planner.solve.profile import Profile


@dataclass(frozen=True)
class Workshop:
    """What every trial needs and none changes."""

    problem: Problem
    masks: Masks
    rules: tuple[Rules, ...]
    alone: dict[int, list[Placed] | Stuck] = field(default_factory=dict, repr=False, compare=False)
    """What `lay_alone` has found, by unit."""

    @property
    def all_closures(self) -> frozenset[int]:
        """Every closure of the problem."""
        return frozenset(range(len(self.problem.closures)))

    @property
    def all_gangs(self) -> tuple[int, ...]:
        """Every gang, in file order."""
        return tuple(range(len(self.problem.gangs)))


def make_workshop(problem: Problem) -> Workshop:
    """Return the workshop of `problem`."""
    return Workshop(problem, make_masks(problem), tuple(rules_of(problem, unit) for unit in problem.units))


@dataclass(frozen=True)
class Choice:
    """What the search decides: the order of units, the closures it may use, whom it asks first."""

    order: tuple[int, ...]
    allowed: frozenset[int]
    gang_order: tuple[int, ...]
    kept: frozenset[int] = frozenset()
    """Units that stay where an issued plan has them, if they can."""


@dataclass(frozen=True)
class Schedule:
    """All tasks placed, in the order of the problem's tasks."""

    placed: tuple[Placed, ...]
    choice: Choice

    @property
    def finish(self) -> int:
        """Slot at which the last task ends."""
        return _finish(self.placed)

    @property
    def closures(self) -> frozenset[int]:
        """Closures in use."""
        return frozenset(v.closure for p in self.placed for v in p.visits if v.closure is not None)


@dataclass(frozen=True)
class Blocked:
    """No schedule in this order: the unit and task that found no place."""

    unit: int
    task: int


def lay_out(workshop: Workshop, choice: Choice) -> Schedule | Blocked:
    """Place the units one after the other in the choice's order (forerunning units must come first)."""
    return lay_into(workshop, Profile(workshop.problem), choice, choice.order, {})


def lay_into(
    workshop: Workshop, profile: Profile, choice: Choice, units: Iterable[int], placed: dict[int, Placed]
) -> Schedule | Blocked:
    """Place `units` one after the other beside those already `placed`, which are booked in `profile`; both grow."""
    problem = workshop.problem
    room = Room(workshop.masks, profile, choice.allowed, choice.gang_order, choice.kept)
    for unit in units:
        rules = workshop.rules[unit]
        laid = place_unit(problem, rules, room, placed)
        if isinstance(laid, Stuck):
            return Blocked(unit, laid.task)
        book_unit(problem, rules, profile, laid)
        placed.update((one.task, one) for one in laid)
    return Schedule(tuple(placed[task] for task in sorted(placed)), choice)


def lay_around(
    workshop: Workshop, units: Sequence[int], placed: dict[int, Placed], others: Sequence[int]
) -> Schedule | Blocked:
    """Place the `others` in that order around `units`, whose tasks are `placed`, all closures allowed."""
    problem = workshop.problem
    choice = Choice(in_order(problem, [*units, *others]), workshop.all_closures, workshop.all_gangs)
    profile = booked(problem, (workshop.rules[unit] for unit in units), placed)
    there = set(units)
    return lay_into(workshop, profile, choice, [unit for unit in choice.order if unit not in there], dict(placed))


def lay_alone(workshop: Workshop, unit: int) -> list[Placed] | Stuck:
    """Place one unit as if it had the job to itself, at its forerunners' earliest."""
    if unit not in workshop.alone:
        elsewhere = lay_forerunners(workshop, unit)
        workshop.alone[unit] = (
            Stuck(workshop.problem.units[unit].tasks[0])
            if elsewhere is None
            else lay_with(workshop, unit, elsewhere, workshop.all_closures)
        )
    return workshop.alone[unit]


def end_alone(workshop: Workshop, unit: int) -> int | None:
    """Return the finish of one unit that has the job to itself; None where it has no place."""
    laid = lay_alone(workshop, unit)
    return None if isinstance(laid, Stuck) else _finish(laid)


def lay_forerunners(workshop: Workshop, unit: int) -> dict[int, Placed] | None:
    """Place every unit that must come before, each as if alone; None if one of them has no place."""
    placed: dict[int, Placed] = {}
    for needed in needs_of(workshop.problem, unit):
        laid = lay_with(workshop, needed, placed, workshop.all_closures)
        if isinstance(laid, Stuck):
            return None
        placed.update((one.task, one) for one in laid)
    return placed


def lay_with(
    workshop: Workshop, unit: int, elsewhere: dict[int, Placed], allowed: frozenset[int]
) -> list[Placed] | Stuck:
    """Place one unit with everything free but for the closures, of which only `allowed` may be used.

    Every choice of closures for its exposed stretches is tried, and the earliest finish kept.
    """
    problem, rules = workshop.problem, workshop.rules[unit]
    room = Room(workshop.masks, Profile(problem), allowed, workshop.all_gangs)
    best = place_unit(problem, rules, room, elsewhere)
    if not rules.stretches:
        return best
    for fixed in product(*(allowed.intersection(stretch.closures) for stretch in rules.stretches)):
        if not isinstance(best, Stuck) and any(problem.closures[one].start >= _finish(best) for one in fixed):
            continue
        laid = place_unit(problem, rules, room, elsewhere, fixed)
        if not isinstance(laid, Stuck) and (isinstance(best, Stuck) or _finish(laid) < _finish(best)):
            best = laid
    return best


def _finish(placed: Iterable[Placed]) -> int:
    return max(one.finish for one in placed)


def ends_of(problem: Problem, placed: Sequence[Placed]) -> list[int]:
    """Return the finish of each unit; `placed` in the order of the problem's tasks."""
    return [max(placed[task].finish for task in unit.tasks) for unit in problem.units]


def needs_of(problem: Problem, unit: int) -> list[int]:
    """Return every unit that must come before `unit`, forerunners first."""
    found: set[int] = set()
    front = set(problem.units[unit].needs)
    while front:
        found |= front
        front = {need for one in front for need in problem.units[one].needs} - found
    return sorted(found)


def in_order(problem: Problem, wanted: Sequence[int]) -> tuple[int, ...]:
    """Return all units in the `wanted` order, each moved back behind the units that it needs."""
    order: list[int] = []
    seen: set[int] = set()

    def add(unit: int) -> None:
        if unit not in seen:
            seen.add(unit)
            for need in sorted(problem.units[unit].needs):
                add(need)
            order.append(unit)

    for unit in wanted:
        add(unit)
    return tuple(order)


def crew_days(problem: Problem, placed: Iterable[Placed]) -> set[tuple[int, int]]:
    """Return the (gang, shift index) pairs in which anybody works."""
    starts = [[start for start, _ in gang.shift_spans] for gang in problem.gangs]
    return {(one.gang, bisect_right(starts[one.gang], visit.start) - 1) for one in placed for visit in one.visits}


def overtime(problem: Problem, placed: Iterable[Placed]) -> float:
    """Return what is paid after the finish of shifts, to the end of the last visit in each [money]."""
    if not any(gang.paid_until for gang in problem.gangs):
        return 0.0
    return sum(
        max(0.0, finish - problem.gangs[gang].paid_until[shift]) * problem.gangs[gang].overtime_cost[shift]
        for (gang, shift), finish in last_finishes(problem, placed).items()
        if problem.gangs[gang].paid_until
    )


def last_finishes(problem: Problem, placed: Iterable[Placed]) -> dict[tuple[int, int], int]:
    """Return the end of the last visit in each (gang, shift index) in which anybody works."""
    starts = [[start for start, _ in gang.shift_spans] for gang in problem.gangs]
    last: dict[tuple[int, int], int] = {}
    for one in placed:
        for visit in one.visits:
            shift = (one.gang, bisect_right(starts[one.gang], visit.start) - 1)
            last[shift] = max(last.get(shift, 0), visit.finish)
    return last


def cost(problem: Problem, schedule: Schedule) -> float:
    """Return prelims up to the day of the finish, closures, crew-days, overtime, choices and moves [money]."""
    days = bisect_right(problem.day_starts, schedule.finish - 1)
    closures = sum(problem.closures[index].cost for index in schedule.closures)
    crews = sum(problem.gangs[gang].cost for gang, _ in crew_days(problem, schedule.placed))
    moves = problem.moved_cost * changes(problem, schedule.placed)[0] if problem.moved_cost else 0.0
    chosen = overtime(problem, schedule.placed) + problem.chosen_cost
    return problem.prelims_per_day * days + closures + crews + chosen + moves


def stands_otherwise(task: Task, placed: Placed) -> bool:
    """Say whether an operation stands otherwise than issued: in time, gang or way, or because it is new."""
    issued = task.issued
    if issued is None:
        return True
    return (issued.gang, task.issued_way) != (placed.gang, task.alternative) or _times(issued) != _times(placed)


def changes(problem: Problem, placed: Iterable[Placed]) -> tuple[int, int]:
    """Return how many operations stand otherwise than issued (time, gang, way, new, gone), and the slots moved."""
    moved, slots = problem.vanished, 0
    for one in placed:
        task = problem.tasks[one.task]
        if stands_otherwise(task, one):
            moved += 1
            slots += abs(task.issued.start - one.start) if task.issued else 0
    return moved, slots


def changed_alone(workshop: Workshop, unit: int) -> int:
    """Return how many of a unit's operations change though it has the job to itself; all where it is stuck."""
    problem, elsewhere = workshop.problem, lay_forerunners(workshop, unit)
    tasks = problem.units[unit].tasks
    if elsewhere is None:
        return len(tasks)
    room = Room(workshop.masks, Profile(problem), workshop.all_closures, workshop.all_gangs, frozenset({unit}))
    laid = place_unit(problem, workshop.rules[unit], room, elsewhere)
    return len(tasks) if isinstance(laid, Stuck) else changes(problem, laid)[0] - problem.vanished


def must_change(workshop: Workshop, task: int) -> bool:
    """Say whether an operation can't stay where it was issued even if nothing else were in its way."""
    problem = workshop.problem
    issued = problem.tasks[task].issued
    if issued is None:
        return True
    room = Room(workshop.masks, Profile(problem), workshop.all_closures, workshop.all_gangs)
    closure = issued.visits[0].closure if problem.tasks[task].closures is None else None
    return as_issued(room, problem.tasks[task], 0, closure, {}, ()) is None


def _times(placed: Placed) -> list[tuple[int, int]]:
    return [(visit.start, visit.finish) for visit in placed.visits]


def worth(problem: Problem, schedule: Schedule, aim: Aim) -> tuple[float, ...]:
    """Return the schedule's worth for `aim`, smaller is better; ties fall to the other two aims."""
    finish, closures = float(schedule.finish), float(len(schedule.closures))
    money = cost(problem, schedule)
    if aim is Aim.CHANGE:
        moved, slots = changes(problem, schedule.placed)
        return float(moved), float(slots), finish, money
    if aim is Aim.FINISH:
        return finish, closures, money
    if aim is Aim.CLOSURES:
        return closures, finish, money
    return money, finish, closures


Caps = tuple[tuple[Aim, float], ...]
"""Aims that come first, with the figure that each may not exceed."""


def excess(problem: Problem, schedule: Schedule, caps: Caps) -> float:
    """Return by how much the figures of the aims that come first are exceeded, all together; 0 where none is."""
    over = sum(max(0.0, worth(problem, schedule, aim)[0] - most) for aim, most in caps)
    return over if over > _DUST else 0.0


_DUST = 1e-6
