"""Mending the rest: what was moved by hand is held where it is, and as little as possible of all else is moved."""

from __future__ import annotations

from collections.abc import Iterable

from planner.model import Job, Pin, Placement, Plan


def held_job(job: Job, plan: Plan, held: Iterable[str]) -> Job:
    """Return the job with the operations `held` pinned to where `plan` has them, so that every rule is still asked.

    A start that the job pins already stays pinned there. In the hour that comes twice only the gang is held.
    """
    pins = {pin.operation: pin for pin in job.pins}
    for key in held:
        visits, pin = plan.visits_of(key), pins.get(key)
        if visits and (pin is None or pin.start is None):
            pins[key] = _pin(job, visits[0], pin)
    return job.model_copy(update={"pins": tuple(pins.values())})


def _pin(job: Job, visit: Placement, pin: Pin | None) -> Pin:
    wall = job.time.local(visit.start).replace(tzinfo=None, fold=0)
    once = job.time.slot_of(job.time.wall(wall)) == visit.start
    note = pin.note if pin is not None else ""
    return Pin(operation=visit.operation, gang=visit.gang, start=wall if once else None, note=note)
