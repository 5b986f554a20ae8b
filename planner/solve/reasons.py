"""Why there is no plan: the smallest set of requirements that cannot hold together, by leaving out in turn."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.model import Job
from planner.problem.build import build_problem
from planner.problem.issued import Issued
from planner.problem.requirements import Requirement
from planner.solve.clashes import NoPlan, called, lead, left_as_it_is, only_elements, requirements, said, smallest
from planner.solve.exactness import is_exact
from planner.solve.place import Stuck
from planner.solve.reasons_together import together
from planner.solve.schedule import Choice, Schedule, Workshop, in_order, lay_alone, lay_out, make_workshop
from planner.weather.job_weather import JobWeather


def explain_no_plan(
    job: Job,
    weather: JobWeather,
    workshop: Workshop,
    orders: Sequence[tuple[int, ...]],
    stop: Callable[[], bool] = lambda: False,
    issued: Issued | None = None,
) -> NoPlan:
    """Say why no schedule was found; `orders` are orders of units that the search tried without success.

    stop: says that no more reasons are wanted. issued: what was handed out before, as of `build_problem`.
    """
    for unit in workshop.problem.units:
        if isinstance(lay_alone(workshop, unit.index), Stuck):
            return _alone(job, weather, workshop, unit.index, issued)
    return together(job, weather, workshop, orders, stop, issued)


def has_no_place_alone(workshop: Workshop) -> bool:
    """Say whether some element surely can't be done even with everything else out of the way."""
    stuck = (unit.index for unit in workshop.problem.units if isinstance(lay_alone(workshop, unit.index), Stuck))
    return any(is_exact(workshop.problem, unit) for unit in stuck)


def _alone(job: Job, weather: JobWeather, workshop: Workshop, unit: int, issued: Issued | None) -> NoPlan:
    elements = _elements_needed(workshop, unit)
    part = only_elements(job, elements)
    asked = requirements(part, weather)
    needed = smallest(asked, lambda kept: not _can_be_done(part, weather, set(asked) - set(kept), issued))
    proved = is_exact(workshop.problem, unit)
    name = called(job, workshop, unit)
    if not needed:
        days = job.job.days
        words: tuple[str, ...] = (f"the work on {name} is longer than the {days} days of the job",)
        if issued is not None and issued.now:
            words = (f"what is left of the work on {name} is longer than what is left of the {days} days of the job",)
    else:
        words = tuple(said(part, weather, requirement, issued=issued) for requirement in needed)
    head = "No plan exists" if proved else "No plan was found"
    said_first = f"{head}: {name} can't be done even with everything else out of the way. {lead(words)}"
    return NoPlan(proved, (said_first, *words, *left_as_it_is(job, elements, issued)), needed)


def _elements_needed(workshop: Workshop, unit: int) -> set[str]:
    units = {unit}
    front = {unit}
    while front:
        front = {need for one in front for need in workshop.problem.units[one].needs} - units
        units |= front
    tasks = [task for one in units for task in workshop.problem.units[one].tasks]
    return {workshop.problem.tasks[task].key.split("/")[0] for task in tasks}


def _can_be_done(job: Job, weather: JobWeather, dropped: set[Requirement], issued: Issued | None) -> bool:
    workshop = make_workshop(build_problem(job, weather, frozenset(dropped), issued=issued))
    order = in_order(workshop.problem, range(len(workshop.problem.units)))
    laid = lay_out(workshop, Choice(order, workshop.all_closures, workshop.all_gangs))
    return isinstance(laid, Schedule)
