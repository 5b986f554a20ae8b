"""Every operation is there, in visits of the right total length, one at a time, by one gang, inside the job."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from planner.audit.case import Case
from planner.audit.duties import Duty
from planner.audit.wording import length_words, list_words
from planner.findings import Finding
from planner.model import Placement
from planner.units import SLOT_MINUTES

Visits = tuple[Placement, ...]


def check(case: Case) -> Iterator[Finding]:
    """Yield what is wrong with the visits themselves."""
    yield from _missing(case)
    yield from _unknown(case)
    for duty, visits in case.chosen:
        yield from _length(case, duty, visits)
        yield from _pieces(case, duty, visits)
        yield from _overlaps(case, duty, visits)
        yield from _numbers(duty, visits)
        yield from _gangs(case, duty, visits)
        yield from _ways(duty, visits)
        yield from _inside_job(case, duty, visits)


def _missing(case: Case) -> Iterator[Finding]:
    for key in case.side.duties if case.only is None else (case.only,):
        if key in case.side.duties and key not in case.visits:
            yield Finding("operation-missing", key, f"{case.called(key)} planned", "no visit in the plan")


def _unknown(case: Case) -> Iterator[Finding]:
    offered = {(used.operation, used.way) for used in case.side.used}
    for placed in case.plan.placements:
        if placed.operation not in case.side.duties and case.touches(placed.operation):
            yield Finding(
                "operation-unknown",
                placed.operation,
                "an operation that the job needs",
                f"a visit at {case.at(placed.start)} to one that it does not",
                placed.start,
            )
        elif (
            placed.alternative is not None
            and (placed.operation, placed.alternative) not in offered
            and case.touches(placed.operation)
        ):
            yield Finding(
                "alternative-unknown",
                placed.operation,
                "a way of working that the job names",
                f"alternative {placed.alternative}",
                placed.start,
            )


def _length(case: Case, duty: Duty, visits: Visits) -> Iterator[Finding]:
    total = sum(visit.finish - visit.start for visit in visits)
    if total != duty.slots:
        yield Finding(
            "visits-wrong-length",
            duty.key,
            f"{length_words(duty.slots * SLOT_MINUTES)} of work on {duty.called}",
            f"{length_words(total * SLOT_MINUTES)} in {len(visits)} visit{'s' if len(visits) > 1 else ''}",
            visits[0].start,
        )


def _pieces(case: Case, duty: Duty, visits: Visits) -> Iterator[Finding]:
    if duty.one_visit and len(visits) > 1:
        starts = list_words([case.at(visit.start) for visit in visits])
        yield Finding(
            "visits-not-allowed",
            duty.key,
            f"{duty.called} done in one visit",
            f"{len(visits)} visits, at {starts}",
            visits[1].start,
        )
    for visit in visits:
        short = not duty.one_visit and visit != visits[-1] and visit.finish - visit.start < duty.least_visit
        if short or visit.finish <= visit.start:
            yield Finding(
                "visit-too-short",
                duty.key,
                f"visits of at least {length_words(duty.least_visit * SLOT_MINUTES)} before the last",
                f"{length_words((visit.finish - visit.start) * SLOT_MINUTES)} at {case.at(visit.start)}",
                visit.start,
            )


def _overlaps(case: Case, duty: Duty, visits: Visits) -> Iterator[Finding]:
    for earlier, later in pairwise(visits):
        if later.start < earlier.finish:
            yield Finding(
                "visits-overlap",
                duty.key,
                f"one visit to {duty.called} at a time",
                f"a visit at {case.at(later.start)} while another lasts until {case.at(earlier.finish)}",
                later.start,
            )


def _numbers(duty: Duty, visits: Visits) -> Iterator[Finding]:
    numbers = [visit.visit for visit in visits]
    if numbers != list(range(1, len(visits) + 1)):
        yield Finding(
            "visits-misnumbered",
            duty.key,
            "visits numbered 1, 2, … in order of time",
            f"numbers {', '.join(map(str, numbers))}",
            visits[0].start,
        )


def _gangs(case: Case, duty: Duty, visits: Visits) -> Iterator[Finding]:
    called = case.side.names.gang
    for earlier, later in pairwise(visits):
        if later.gang != earlier.gang:
            yield Finding(
                "gang-changes",
                duty.key,
                f"all visits to {duty.called} by one gang",
                f"{called(later.gang)} at {case.at(later.start)}, after {called(earlier.gang)}",
                later.start,
            )


def _ways(duty: Duty, visits: Visits) -> Iterator[Finding]:
    for earlier, later in pairwise(visits):
        if later.alternative != earlier.alternative:
            yield Finding(
                "alternative-changes",
                duty.key,
                f"all visits to {duty.called} done in one way",
                f"alternative {later.alternative or 'none'} after {earlier.alternative or 'none'}",
                later.start,
            )


def _inside_job(case: Case, duty: Duty, visits: Visits) -> Iterator[Finding]:
    horizon = case.side.horizon
    for visit in visits:
        if visit.start < 0 or visit.finish > horizon:
            yield Finding(
                "outside-job",
                duty.key,
                f"work between {case.at(0)} and {case.at(horizon)}",
                f"a visit from {case.at(visit.start)} to {case.at(visit.finish)}",
                visit.start,
            )
