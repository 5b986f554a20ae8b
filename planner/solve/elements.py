"""Some elements of a job: as a job of their own, and by the units and choices that are theirs."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from planner.model import Job
from planner.model.keys import element_of
from planner.network.options import Chosen
from planner.problem.parts import Problem
from planner.solve.schedule import needs_of


def only_elements(job: Job, elements: Collection[str]) -> Job:
    """Return the job with these elements alone, and the links between them."""
    ends = [(link, {element_of(link.after), element_of(link.before)}) for link in job.links]
    return job.model_copy(
        update={
            "elements": tuple(element for element in job.elements if element.id in elements),
            "links": tuple(link for link, both in ends if both.issubset(elements)),
        }
    )


def own_choices(chosen: Chosen, elements: Collection[str]) -> dict[str, str]:
    """Return what is chosen for these elements, and for no one element, as overtime is."""
    return {key: way for key, way in chosen.items() if "/" not in key or element_of(key) in elements}


def elements_of(problem: Problem, units: Iterable[int]) -> frozenset[str]:
    """Return the elements whose work the units are."""
    tasks = (problem.tasks[task] for unit in units for task in problem.units[unit].tasks)
    return frozenset(element_of(task.key) for task in tasks)


def elements_needed(problem: Problem, unit: int) -> frozenset[str]:
    """Return the elements of a unit and of all that it must wait for."""
    return elements_of(problem, (unit, *needs_of(problem, unit)))
