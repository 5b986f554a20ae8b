"""Why there is no plan: the smallest set of requirements that cannot hold together, by leaving out in turn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planner.model import Job
from planner.network.work import write_out
from planner.problem.build import build_problem
from planner.problem.conditions import slot_sets
from planner.problem.requirements import Kind, Requirement
from planner.solve.calling import Calling
from planner.solve.exactness import is_exact
from planner.solve.place import Stuck
from planner.solve.relax import Relaxer
from planner.solve.schedule import (
    Blocked,
    Choice,
    Schedule,
    Workshop,
    in_order,
    lay_alone,
    lay_out,
    make_workshop,
)
from planner.solve.words import Wording
from planner.weather.job_weather import JobWeather


@dataclass(frozen=True)
class NoPlan:
    """Reasons in words; `proved` says whether it is certain that no plan exists."""

    proved: bool
    reasons: tuple[str, ...]
    requirements: tuple[Requirement, ...] = ()


def explain_no_plan(job: Job, weather: JobWeather, workshop: Workshop, orders: Sequence[tuple[int, ...]]) -> NoPlan:
    """Say why no schedule was found; `orders` are orders of units that the search tried without success."""
    for unit in workshop.problem.units:
        if isinstance(lay_alone(workshop, unit.index), Stuck):
            return _alone(job, weather, workshop, unit.index)
    return _together(job, workshop, orders)


def has_no_place_alone(workshop: Workshop) -> bool:
    """Say whether some element surely can't be done even with everything else out of the way."""
    stuck = (unit.index for unit in workshop.problem.units if isinstance(lay_alone(workshop, unit.index), Stuck))
    return any(is_exact(workshop.problem, unit) for unit in stuck)


def _alone(job: Job, weather: JobWeather, workshop: Workshop, unit: int) -> NoPlan:
    elements = _elements_needed(workshop, unit)
    part = _only(job, elements)
    asked = requirements(part, weather)
    needed = smallest(asked, lambda kept: not _can_be_done(part, weather, set(asked) - set(kept)))
    proved = is_exact(workshop.problem, unit)
    name = _called(job, workshop, unit)
    if not needed:
        days = job.job.days
        words: tuple[str, ...] = (f"the work on {name} is longer than the {days} days of the job",)
    else:
        words = tuple(_said(part, weather, requirement) for requirement in needed)
    head = "No plan exists" if proved else "No plan was found"
    return NoPlan(
        proved,
        (f"{head}: {name} can't be done even with everything else out of the way. {_lead(words)}", *words),
        needed,
    )


def _said(part: Job, weather: JobWeather, requirement: Requirement) -> str:
    """Return a requirement in words, with the least that must give way at it, where some amount of it helps."""
    eased = Relaxer(part, weather).of(requirement)
    words = Wording(part, weather).of(requirement)
    return words if eased is None else f"{words}. Enough would be: {eased}"


def _lead(words: Sequence[str]) -> str:
    if len(words) == 1:
        return "One thing stands in the way:"
    return f"These {len(words)} cannot all hold together; if any one of them gave way, it could be done:"


def _called(job: Job, workshop: Workshop, unit: int) -> str:
    calls, ids = Calling(job, write_out(job)), workshop.problem.units[unit].name.split(", ")
    return " with ".join(calls.element(id) for id in ids)


def _elements_needed(workshop: Workshop, unit: int) -> set[str]:
    units = {unit}
    front = {unit}
    while front:
        front = {need for one in front for need in workshop.problem.units[one].needs} - units
        units |= front
    tasks = [task for one in units for task in workshop.problem.units[one].tasks]
    return {workshop.problem.tasks[task].key.split("/")[0] for task in tasks}


def _only(job: Job, elements: set[str]) -> Job:
    """Return the job with these elements alone, and the links between them."""
    ends = [(link, {link.after.split("/")[0], link.before.split("/")[0]}) for link in job.links]
    return job.model_copy(
        update={
            "elements": tuple(element for element in job.elements if element.id in elements),
            "links": tuple(link for link, both in ends if both <= elements),
        }
    )


def _can_be_done(job: Job, weather: JobWeather, dropped: set[Requirement]) -> bool:
    workshop = make_workshop(build_problem(job, weather, frozenset(dropped)))
    order = in_order(workshop.problem, range(len(workshop.problem.units)))
    laid = lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs))
    return isinstance(laid, Schedule)


def requirements(job: Job, weather: JobWeather) -> tuple[Requirement, ...]:
    """Return every requirement of the job that can be left out, those that people can least change first.

    What comes first is left out first where several smallest sets exist, so that the set that remains
    speaks of closures, shifts and maxima before it speaks of rain and frost.
    """
    work = write_out(job)
    asked: list[Requirement] = []
    for operation in work.operations:
        sets = slot_sets(operation.conditions, weather, weather.surface_c(job.element(operation.element)))
        asked += [Requirement(kind, operation.key) for kind, _ in (*sets.work, *sets.ends)]
        if operation.light != "any":
            asked.append(Requirement(Kind.LIGHT, operation.key))
        if not operation.splittable:
            asked.append(Requirement(Kind.ONE_VISIT, operation.key))
        asked.append(Requirement(Kind.SHIFT, operation.key))
    keys = {operation.key for operation in work.operations}
    asked += [Requirement(Kind.PIN, pin.operation) for pin in job.pins if pin.operation in keys]
    asked += [Requirement(Kind.RELEASE, operation.key) for operation in work.operations if operation.release]
    asked += [Requirement(Kind.PLANT, hold.first) for hold in work.holds]
    asked += [Requirement(Kind.OPENS, gap.key) for gap in work.gaps if gap.curve.not_before is not None]
    asked += [Requirement(Kind.SHUTS, gap.key) for gap in work.gaps if gap.curve.not_after is not None]
    asked += [Requirement(Kind.CLOSURE, operation.key) for operation in work.operations if operation.lanes]
    for stretch in work.stretches:
        asked += [Requirement(Kind.FIT, key) for key, _, _ in stretch.fit]
        asked.append(Requirement(Kind.STRETCH, f"{stretch.element}/{stretch.name}"))
    return tuple(dict.fromkeys(asked))


def smallest(
    asked: Sequence[Requirement], clashes: Callable[[Sequence[Requirement]], bool]
) -> tuple[Requirement, ...]:
    """Return a set of requirements that clash, none of which can be left out; empty if nothing droppable does.

    `clashes(kept)` says whether no plan exists when only `kept` is asked for. Blocks are left out first,
    then halves of them, down to single ones: each stays out if the clash remains.
    """
    kept = list(asked)
    if clashes(()):
        return ()
    size = max(1, len(kept) // 2)
    while True:
        place = 0
        while place < len(kept):
            rest = kept[:place] + kept[place + size :]
            if clashes(rest):
                kept = rest
            else:
                place += size
        if size == 1:
            return tuple(kept)
        size = max(1, size // 2)


def _together(job: Job, workshop: Workshop, orders: Sequence[tuple[int, ...]]) -> NoPlan:
    """Find a small set of units that no tried order could place together; this proves nothing."""
    problem = workshop.problem
    units = list(range(len(problem.units)))

    def clash(kept: Sequence[int]) -> bool:
        wanted = [[unit for unit in order if unit in kept] for order in orders]
        return all(isinstance(_lay_some(workshop, order), Blocked) for order in wanted)

    for unit in list(units):
        rest = [one for one in units if one != unit]
        if any(unit in problem.units[one].needs for one in rest):
            continue
        if rest and clash(rest):
            units = rest
    names = [_called(job, workshop, unit) for unit in units]
    shared = _shared(job, workshop, units)
    return NoPlan(
        False,
        (
            f"No plan was found in {len(orders)} orders of work; this does not prove that none exists. Each element "
            f"can be done alone, but not these together: {'; '.join(names)}.",
            *shared,
        ),
    )


def _lay_some(workshop: Workshop, order: Sequence[int]) -> Schedule | Blocked:
    choice = Choice(tuple(order), workshop.all_closures, workshop.all_gangs)
    return lay_out(workshop, choice)


def _shared(job: Job, workshop: Workshop, units: Sequence[int]) -> tuple[str, ...]:
    """Return what more than one of these units needs, in words."""
    problem, calls = workshop.problem, Calling(job, write_out(job))
    asked: dict[str, set[int]] = {}
    for unit in units:
        for index in problem.units[unit].tasks:
            task = problem.tasks[index]
            if len(task.gangs) == 1:
                asked.setdefault(calls.gang(problem.gangs[task.gangs[0]].id), set()).add(unit)
            if task.closures is not None:
                names = ", ".join(calls.closure(problem.closures[closure].id) for closure in task.closures)
                asked.setdefault(names, set()).add(unit)
    return tuple(
        f"{len(wanted)} of them compete for {what}" for what, wanted in sorted(asked.items()) if len(wanted) > 1
    )
