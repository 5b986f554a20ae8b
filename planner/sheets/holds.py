"""The hold points of a shift, each where it holds: before its work starts, or before the lane reopens after it."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.releases import due_words, dues
from planner.model import Placement
from planner.model.keys import element_of
from planner.sheets.rows import HoldRow
from planner.sheets.scene import Scene
from planner.sheets.words import NOTE_LENGTH, clean

NOBODY_NAMED = "Where nobody is named, agree today who releases it, and ring them before you set out."


def hold_rows(scene: Scene) -> Iterator[HoldRow]:
    """Yield what must be released before work of the shift starts, then what before a lane reopens after it."""
    yield from _before_work(scene)
    yield from _before_reopening(scene)


def _before_work(scene: Scene) -> Iterator[HoldRow]:
    side = scene.planned.side
    due = {one.operation: one for one in dues(scene.planned.case)}

    def told(visit: Placement) -> str:
        found = due.get(visit.operation)
        return clean(" ".join(due_words(side, found)), NOTE_LENGTH) if found else ""

    starts: dict[str, list[Placement]] = {}
    for visit in scene.visits:
        if scene.operation(visit).hold_point:
            starts.setdefault(visit.operation, []).append(visit)
    for first, *more in starts.values():
        times = ", ".join(scene.clock.slot(scene.planned.as_planned(visit).start) for visit in (first, *more))
        words = clean(scene.operation(first).hold_point, NOTE_LENGTH)
        yield HoldRow(times, scene.work(first), words, told(first))


def _before_reopening(scene: Scene) -> Iterator[HoldRow]:
    """Yield a row for the last work on each element in a closure: what is laid later on it there speaks for it."""
    for visit in scene.visits:
        words = scene.operation(visit).reopening_hold
        if words and visit == _last_in_closure(scene, visit):
            words = f"Before the lane reopens: {clean(words, NOTE_LENGTH)}"
            yield HoldRow(_reopens(scene, visit), scene.work(visit), words)


def _last_in_closure(scene: Scene, visit: Placement) -> Placement:
    """Return the last visit on the same element, in the same closure, that has a hold before reopening."""
    owner = element_of(visit.operation)
    alike = [
        one
        for one in scene.planned.plan.placements
        if one.closure == visit.closure
        and element_of(one.operation) == owner
        and one.operation in scene.planned.side.duties
        and (one.closure is not None or one.operation == visit.operation)
        and scene.operation(one).reopening_hold
    ]
    return max(alike, key=lambda one: (one.finish, one.start))


def _reopens(scene: Scene, visit: Placement) -> str:
    """Return when the cones must come off, or that the work must be done where no closure is named."""
    work = scene.planned.side.works.get(visit.closure or "")
    if work is None:
        return f"after {scene.clock.slot(visit.finish)}"
    return f"by {scene.clock.minute(work[1])}"
