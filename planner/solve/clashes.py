"""What can be asked of a job and left out one by one, and the smallest part of it that cannot hold together."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from planner.audit.wording import at_slot, list_words
from planner.model import Job
from planner.network.work import write_out
from planner.problem.conditions import slot_sets
from planner.problem.issued import Issued
from planner.problem.requirements import Kind, Requirement
from planner.solve.calling import Calling
from planner.solve.left_open import left_open
from planner.solve.schedule import Workshop
from planner.weather.job_weather import JobWeather

MOST_DONE_SAID = 3
"""Operations done or under way that are named, the last ones."""


@dataclass(frozen=True)
class NoPlan:
    """Reasons in words; `proved` says whether it is certain that no plan exists."""

    proved: bool
    reasons: tuple[str, ...]
    requirements: tuple[Requirement, ...] = ()


def called(job: Job, workshop: Workshop, unit: int) -> str:
    """Return the names of a unit's elements."""
    calls, ids = Calling(job, write_out(job)), workshop.problem.units[unit].name.split(", ")
    return " with ".join(calls.element(id) for id in ids)


def left_as_it_is(job: Job, elements: Collection[str], issued: Issued | None) -> tuple[str, ...]:
    """Return in words what of these elements was begun and can't be left so, and from when on the rest is planned."""
    if issued is None:
        return ()
    work = write_out(job)
    calls, keys = Calling(job, work), [one.key for one in work.operations if one.element in elements]
    done = sorted((issued.visits[key][0].start, key) for key in keys if issued.is_done(key))
    words = [f"{calls.operation(key)} from {at_slot(job.time, start)}" for start, key in done[-MOST_DONE_SAID:]]
    more = f", after {len(done) - len(words)} more" if len(done) > len(words) else ""
    known = (f"Done or under way, and left as it is: {list_words(words)}{more}",) if words else ()
    stays = (*left_open(job, elements, issued), *known)
    return (*stays, f"Nothing else starts before {at_slot(job.time, issued.now)}") if issued.now else stays


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
    asked += [Requirement(Kind.PLANT, operation.key) for operation in work.operations if operation.plant]
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
