"""Closures by state: which are used first, and the job as it is once some are refused."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from planner.model import Closure, ClosureState, Job

Preference = tuple[int, int, float]
"""Smaller is better: how many are not agreed, how many not even requested, what they cost."""


def preference(closures: Iterable[Closure]) -> Preference:
    """Return how willingly some closures are used: agreed ones first, then requested ones, then the cheaper."""
    some = tuple(closures)
    not_agreed = sum(one.state is not ClosureState.AGREED for one in some)
    not_asked = sum(one.state not in (ClosureState.AGREED, ClosureState.REQUESTED) for one in some)
    return not_agreed, not_asked, sum(one.cost for one in some)


def usable(job: Job) -> tuple[str, ...]:
    """Return the ids of the closures that are not refused, in file order."""
    return tuple(one.id for one in job.closures if one.state is not ClosureState.REFUSED)


def with_only(job: Job, allowed: Collection[str]) -> Job:
    """Return the job with every closure refused but those of `allowed`, which keep their state."""
    return job.model_copy(
        update={"closures": tuple(one if one.id in allowed else _refused(one) for one in job.closures)}
    )


def offered(job: Job, ids: Collection[str]) -> Job:
    """Return the job as it is if just the closures of `ids` are given: a refused one among them counts as wanted."""
    asked = tuple(
        one.model_copy(update={"state": ClosureState.WANTED})
        if one.id in ids and one.state is ClosureState.REFUSED
        else one
        for one in job.closures
    )
    return with_only(job.model_copy(update={"closures": asked}), ids)


def without(job: Job, refused: Collection[str]) -> Job:
    """Return the job with the closures of `refused` refused."""
    return job.model_copy(
        update={"closures": tuple(_refused(one) if one.id in refused else one for one in job.closures)}
    )


def replaced(job: Job, closure: Closure) -> Job:
    """Return the job with `closure` in the place of the one of its id."""
    return job.model_copy(
        update={"closures": tuple(closure if one.id == closure.id else one for one in job.closures)}
    )


def _refused(closure: Closure) -> Closure:
    return closure.model_copy(update={"state": ClosureState.REFUSED})
