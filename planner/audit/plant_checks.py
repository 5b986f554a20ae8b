"""No more units of a plant are in use or tied up than there are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.audit.case import Case
from planner.audit.ties import Tied
from planner.audit.wording import list_words
from planner.findings import Finding

Counts = NDArray[np.int64]


@dataclass(frozen=True)
class Use:
    """Slots [start, finish) in which an element wants one unit for `operations`; a hold names its two ends."""

    element: str
    start: int
    finish: int
    operations: tuple[str, ...]
    held: bool
    inside: bool


def check(case: Case) -> Iterator[Finding]:
    """Yield every time at which a plant is short, at the operation that asked for it last."""
    counts = {plant.id: plant.count for plant in case.side.job.plant}
    for plant in _plant_concerned(case):
        uses = [use for use in (*_holds(case, plant), *_visits(case, plant)) if use.start < use.finish]
        yield from _shortages(case, plant, counts.get(plant, 0), uses)


def _plant_concerned(case: Case) -> list[str]:
    if case.only is None:
        named = {plant for duty in case.side.duties.values() for plant in duty.plant}
        return sorted(named | {hold.plant for hold in case.side.holds})
    own = {plant for duty, _ in case.chosen for plant in duty.plant}
    return sorted(own | {hold.plant for hold in case.side.holds if case.only in (hold.first, hold.last)})


def _holds(case: Case, plant: str) -> Iterator[Use]:
    for hold in case.side.holds:
        if hold.plant == plant and case.planned(hold.first, hold.last):
            element = case.side.duties[hold.first].element.id
            start, finish = case.start(hold.first), case.finish(hold.last)
            yield Use(element, start, finish, (hold.first, hold.last), held=True, inside=False)


def _visits(case: Case, plant: str) -> Iterator[Use]:
    spans: list[Tied] = [hold for hold in case.side.holds if hold.plant == plant]
    covered = {key for hold in spans for key in hold.inside}
    for key, visits in case.visits.items():
        duty = case.side.duties[key]
        if plant in duty.plant:
            for visit in visits:
                yield Use(duty.element.id, visit.start, visit.finish, (key,), held=False, inside=key in covered)


def _shortages(case: Case, plant: str, count: int, uses: list[Use]) -> Iterator[Finding]:
    """Yield one finding for each unbroken time with too many units wanted."""
    if not uses:
        return
    origin = min(use.start for use in uses)
    wanted = _wanted(uses, origin, max(use.finish for use in uses) - origin)
    over = np.concatenate(([False], wanted > count, [False]))
    edges = np.flatnonzero(over[1:] != over[:-1]) + origin
    for start, finish in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        users = sorted((use for use in uses if use.start < finish and start < use.finish), key=lambda use: use.start)
        if case.touches(*(name for use in users for name in use.operations)):
            most = int(wanted[start - origin : finish - origin].max())
            yield _short(case, plant, count, most, start, users)


def _wanted(uses: list[Use], origin: int, slots: int) -> Counts:
    """Return units wanted in each slot: a held unit serves the element's own operations inside the hold."""
    total = np.zeros(slots, dtype=np.int64)
    elements = {use.element for use in uses if use.held}
    held = {element: np.zeros(slots, dtype=np.int64) for element in elements}
    served = {element: np.zeros(slots, dtype=np.int64) for element in elements}
    for use in uses:
        row = (
            held[use.element] if use.held else served[use.element] if use.inside and use.element in served else total
        )
        row[use.start - origin : use.finish - origin] += 1
    for element in elements:
        total += np.maximum(held[element], served[element])
    return total


def _short(case: Case, plant: str, count: int, most: int, start: int, users: list[Use]) -> Finding:
    last = max((use for use in users if use.start <= start), key=lambda use: use.start)
    names = list_words(list(dict.fromkeys(case.called(use.operations[0]) for use in users)))
    return Finding(
        "plant-over",
        last.operations[0],
        f"no more than {count} of {case.side.names.plant_of(plant)} in use or tied up at once",
        f"{most} from {case.at(start)}: {names}",
        start,
    )
