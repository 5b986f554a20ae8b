"""Worths as prices: a job in which a day, a closure, a crew-day and a moved operation cost what they are worth.

The least cost of that job is the least weighed sum, so that search, proofs and bounds need no rule for weighing.
"""

from __future__ import annotations

from dataclasses import replace

from planner.model import Job, Worths
from planner.problem.parts import Problem
from planner.solve.schedule import Workshop

Parts = tuple[tuple[Workshop, ...], ...]


def priced(job: Job, worths: Worths) -> Job:
    """Return the job at its own costs and what is put on them."""
    if not worths:
        return job
    heading = job.job.model_copy(update={"prelims_per_day": job.job.prelims_per_day + worths.day})
    closures = (one.model_copy(update={"cost": one.cost + worths.closure}) for one in job.closures)
    gangs = (one.model_copy(update={"cost_per_shift": one.cost_per_shift + worths.crew_day}) for one in job.gangs)
    return job.model_copy(update={"job": heading, "closures": tuple(closures), "gangs": tuple(gangs)})


def at_own_costs(parts: Parts, worths: Worths) -> Parts:
    """Return parts of a priced job at the job's own costs."""
    return tuple(tuple(replace(way, problem=_at_own_costs(way.problem, worths)) for way in ways) for ways in parts)


def _at_own_costs(problem: Problem, worths: Worths) -> Problem:
    return replace(
        problem,
        prelims_per_day=problem.prelims_per_day - worths.day,
        closures=tuple(replace(one, cost=max(0.0, one.cost - worths.closure)) for one in problem.closures),
        gangs=tuple(replace(one, cost=max(0.0, one.cost - worths.crew_day)) for one in problem.gangs),
        moved_cost=0.0,
    )
