"""Gangs have the skill, are at work, do one thing at a time, and have time to move between structures."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from planner.audit.case import Case, minutes_of
from planner.audit.duties import Duty
from planner.audit.shifts import near_shifts, worked_shift
from planner.audit.wording import length_words, list_words, span_words
from planner.findings import Finding
from planner.model import Gang, Placement
from planner.units import SLOT_MINUTES


def check(case: Case) -> Iterator[Finding]:
    """Yield what the gangs of a plan can't do."""
    for duty, visits in case.chosen:
        for visit in visits:
            gang = case.side.gangs.get(visit.gang)
            if gang is None:
                yield _unknown(case, visit)
                continue
            if duty.skill not in gang.skills:
                yield _unskilled(case, duty, visit, gang)
            if worked_shift(case.side, gang, *minutes_of(visit)) is None:
                yield _off_shift(case, duty, visit, gang)
    for gang_id in _gangs_concerned(case):
        yield from _one_at_a_time(case, gang_id)


def _gangs_concerned(case: Case) -> list[str]:
    return sorted({visit.gang for _, visits in case.chosen for visit in visits if visit.gang in case.side.gangs})


def _unknown(case: Case, visit: Placement) -> Finding:
    return Finding(
        "gang-unknown",
        visit.operation,
        f"a gang of the job: {list_words([gang.name for gang in case.side.gangs.values()])}",
        f"gang {visit.gang} at {case.at(visit.start)}",
        visit.start,
    )


def _unskilled(case: Case, duty: Duty, visit: Placement, gang: Gang) -> Finding:
    return Finding(
        "skill",
        duty.key,
        f"a gang with the skill “{duty.skill}” for {duty.called}",
        f"{case.side.names.gang(gang.id)} with {list_words(sorted(gang.skills))}",
        visit.start,
    )


def _off_shift(case: Case, duty: Duty, visit: Placement, gang: Gang) -> Finding:
    return Finding(
        "outside-shift",
        duty.key,
        f"{duty.called} inside one shift of {case.side.names.gang(gang.id)} ({_shifts_words(case, visit, gang)})",
        f"a visit from {case.at(visit.start)} to {case.at(visit.finish)}",
        visit.start,
    )


def _shifts_words(case: Case, visit: Placement, gang: Gang) -> str:
    """Return the shifts that the visit runs into, or else those of its day and the day before."""
    start, finish = minutes_of(visit)
    near = sorted({(one.start, one.latest) for one in near_shifts(case.side, gang, start)})
    met = [one for one in near if one[0] < finish and start < one[1]]
    if not near:
        return "none on that day or the day before"
    return list_words([span_words(case.side.time, *one) for one in met or near])


def _one_at_a_time(case: Case, gang_id: str) -> Iterator[Finding]:
    """Yield overlaps with the visit that lasts longest so far, and moves that are too short."""
    gang = case.side.gangs[gang_id]
    visits = [visit for visits in case.visits.values() for visit in visits if visit.gang == gang_id]
    ordered = sorted(visits, key=lambda visit: (visit.start, visit.finish))
    longest: Placement | None = None
    for earlier, later in pairwise(ordered):
        if longest is None or earlier.finish > longest.finish:
            longest = earlier
        if later.start < longest.finish:
            if longest.operation != later.operation and case.touches(longest.operation, later.operation):
                yield _busy(case, gang, longest, later)
        elif case.touches(longest.operation, later.operation):
            yield from _move(case, gang, longest, later)


def _busy(case: Case, gang: Gang, earlier: Placement, later: Placement) -> Finding:
    return Finding(
        "gang-busy",
        later.operation,
        f"{case.side.names.gang(gang.id)} free for {case.called(later.operation)}; "
        f"it is on {case.called(earlier.operation)} until {case.at(earlier.finish)}",
        f"a visit at {case.at(later.start)}",
        later.start,
    )


def _move(case: Case, gang: Gang, earlier: Placement, later: Placement) -> Iterator[Finding]:
    names = case.side.names
    before = case.side.duties[earlier.operation].element.structure
    after = case.side.duties[later.operation].element.structure
    free = (later.start - earlier.finish) * SLOT_MINUTES
    if before != after and free < gang.move_min:
        yield Finding(
            "move-too-short",
            later.operation,
            f"{length_words(gang.move_min)} for {names.gang(gang.id)} to move from {names.structure(before)} "
            f"to {names.structure(after)}",
            f"{length_words(free)} between {case.called(earlier.operation)}, finished at "
            f"{case.at(earlier.finish)}, and {case.called(later.operation)} at {case.at(later.start)}",
            later.start,
        )
