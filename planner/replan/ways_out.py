"""The ways out that a job offers once a plan is broken, each as the job that is planned again for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.model import ClosureState, Job, Method, Pin, Plan
from planner.network.options import OVERTIME, REMEDY, Chosen, Option, chosen_in, options_of
from planner.problem.issued import Issued
from planner.replan.breaks import Break

ANY_WAY, WAIT, SWAP = "any way", "wait", "swap"


@dataclass(frozen=True)
class WayOut:
    """One way out: `name` for machines and people, `words` for what it means, `job` as it is planned for it.

    given_back: the closure that it does without.
    """

    name: str
    words: str
    job: Job
    given_back: str | None = None


def ways_out(
    job: Job, plan: Plan, found: tuple[Break, ...], now: int, begun: frozenset[str] | None = None
) -> tuple[WayOut, ...]:
    """Return the ways out, that by any means first; the rest hold each means alone.

    Wait: nothing earlier than it was, by the same gangs, everything done as it was to be. Swap: other times, gangs
    and closures. Then each alternative, and remedies, that the job still offers for work not begun; then each closure
    of the broken work, given back.
    """
    issued = Issued(plan, now, begun)
    kept = chosen_in(job, plan)
    open_ways = [option for option in options_of(job) if _is_open(option, issued, kept)]
    ways = [WayOut(ANY_WAY, "the least change by any means that the job offers", job)]
    as_planned = _only(job, kept, ())
    ways.append(WayOut(WAIT, "wait: nothing earlier, the same gangs", _waiting(as_planned, issued)))
    if open_ways:
        ways.append(WayOut(SWAP, "swap: other times, gangs and closures", as_planned))
    for choice in dict.fromkeys(option.choice for option in open_ways):
        names = dict.fromkeys(option.name for option in open_ways if option.choice == choice)
        words = f"{_kind(job, choice)}: {', '.join(names)}"
        ways.append(WayOut(choice, words, _only(job, kept, (choice,))))
    return (*ways, *_given_back(job, plan, found, issued))


def _kind(job: Job, choice: str) -> str:
    """Return what kind of way out a choice is, as people say it."""
    if choice == REMEDY:
        return "remedy"
    offered = [
        *job.alternatives,
        *(one for method in job.methods for two in method.operations for one in two.alternatives),
    ]
    offers = [one for one in offered if one.id == choice]
    if any(one.enclosure is not None for one in offers):
        return "tent and heat"
    if any(one.plating is not None for one in offers):
        return "plates over it"
    return "another product" if any(one.product is not None for one in offers) else "alternative"


def _waiting(job: Job, issued: Issued) -> Job:
    """Return the job with all work not begun held to its gang, and to no earlier start; the job's own pins stay."""
    pinned = {pin.operation for pin in job.pins}
    held = tuple(
        Pin(
            operation=key,
            gang=visits[0].gang if len({visit.gang for visit in visits}) == 1 else None,
            not_before=job.time.local(visits[0].start).replace(tzinfo=None),
        )
        for key, visits in issued.visits.items()
        if key not in pinned and not issued.is_done(key)
    )
    return job.model_copy(update={"pins": (*job.pins, *held)})


def _is_open(option: Option, issued: Issued, kept: Chosen) -> bool:
    if option.choice == OVERTIME or kept.get(option.key) == option.choice:
        return False
    return not any(issued.is_done(key) for key in (option.key, option.before))


def _only(job: Job, kept: Chosen, choices: tuple[str, ...]) -> Job:
    """Return the job with no more offers than those that the plan uses, and those called as `choices` say.

    An offer of a method stays for all its elements where one of them uses it.
    """
    used = {(job.element(key.partition("/")[0]).method, key.partition("/")[2], way) for key, way in _by_element(kept)}

    def stays(key: str, way: str) -> bool:
        return way in choices or kept.get(key) == way

    alternatives, remedies = [], []
    for offer in job.alternatives:
        elements = tuple(id for id in offer.elements if stays(f"{id}/{offer.operation}", offer.id))
        alternatives += [offer.model_copy(update={"elements": elements})] if elements else []
    for work in job.remedies:
        elements = tuple(id for id in work.elements if stays(f"{id}/{work.id}", REMEDY))
        remedies += [work.model_copy(update={"elements": elements})] if elements else []
    methods = tuple(_pruned(method, used, choices) for method in job.methods)
    return job.model_copy(
        update={"alternatives": tuple(alternatives), "remedies": tuple(remedies), "methods": methods}
    )


def _by_element(kept: Chosen) -> Iterator[tuple[str, str]]:
    return ((key, way) for key, way in kept.items() if "/" in key)


def _pruned(method: Method, used: set[tuple[str, str, str]], choices: tuple[str, ...]) -> Method:
    operations = (
        operation.model_copy(
            update={
                "alternatives": tuple(
                    one
                    for one in operation.alternatives
                    if one.id in choices or (method.id, operation.id, one.id) in used
                )
            }
        )
        for operation in method.operations
    )
    gaps = (
        gap
        if gap.remedy_work is None or REMEDY in choices or (method.id, gap.remedy_work.id, REMEDY) in used
        else gap.model_copy(update={"remedy_work": None})
        for gap in method.gaps
    )
    return method.model_copy(update={"operations": tuple(operations), "gaps": tuple(gaps)})


def _given_back(job: Job, plan: Plan, found: tuple[Break, ...], issued: Issued) -> Iterator[WayOut]:
    """Yield one way for each closure in which broken work lies, unless work in it has begun."""
    broken = {one.place for one in found}
    named = {placed.closure for placed in plan.placements if placed.operation in broken}
    begun = {placed.closure for placed in plan.placements if issued.is_done(placed.operation)}
    for closure in job.closures:
        if closure.id in named - begun and closure.state is not ClosureState.REFUSED:
            back = closure.model_copy(update={"state": ClosureState.REFUSED})
            closures = tuple(back if one.id == closure.id else one for one in job.closures)
            words = f"closure {closure.id} given back; the rest by any means"
            yield WayOut(f"without {closure.id}", words, job.model_copy(update={"closures": closures}), closure.id)
