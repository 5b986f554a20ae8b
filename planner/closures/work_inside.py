"""What is done in a closure: its visits in words, and from when to when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from planner.model import Job, Placement, Plan


@dataclass(frozen=True)
class WorkInside:
    """One operation's visits in one closure: what, where, who, and its slots from first start to last finish."""

    operation: str
    name: str
    element: str
    gangs: tuple[str, ...]
    start: int
    finish: int


def work_by_closure(job: Job, plan: Plan) -> dict[str, tuple[WorkInside, ...]]:
    """Return what `work_inside` does of each closure that the plan uses."""
    used: dict[str, list[Placement]] = {}
    for placed in plan.placements:
        if placed.closure is not None:
            used.setdefault(placed.closure, []).append(placed)
    return {id: _inside(job, placements) for id, placements in used.items()}


def work_inside(job: Job, plan: Plan, id: str) -> tuple[WorkInside, ...]:
    """Return the operations with a visit in closure `id`, in order of time."""
    return _inside(job, [placed for placed in plan.placements if placed.closure == id])


def _inside(job: Job, placements: Iterable[Placement]) -> tuple[WorkInside, ...]:
    visits: dict[str, list[tuple[int, int, str]]] = {}
    for placed in placements:
        visits.setdefault(placed.operation, []).append((placed.start, placed.finish, placed.gang))
    found = []
    for key, some in visits.items():
        element, _, operation = key.partition("/")
        gangs = tuple(dict.fromkeys(gang for _, _, gang in some))
        span = min(start for start, _, _ in some), max(finish for _, finish, _ in some)
        found.append(WorkInside(key, _name(job, element, operation), job.element(element).name, gangs, *span))
    return tuple(sorted(found, key=lambda one: (one.start, one.operation)))


def _name(job: Job, element_id: str, operation: str) -> str:
    element = job.element(element_id)
    method = job.method(element.method)
    for one in method.operations:
        if one.id == operation:
            return one.name
    remedies = (job.remedy_for(element, gap) for gap in method.gaps)
    return next((one.name for one in remedies if one is not None and one.id == operation), operation)
