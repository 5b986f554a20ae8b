"""The latest start that still reopens the road in time: the rest of an exposed stretch, moved later as one piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from planner.audit.ties import Exposure
from planner.model import Placement, Plan
from planner.model.keys import element_of
from planner.sheets.rows import ReopenRow
from planner.sheets.scene import Scene
from planner.sheets.words import clean
from planner.units import SLOT_MINUTES, SLOTS_PER_HOUR, Slot

_ROAD = frozenset({"exposed-open", "outside-closure", "plates-down"})
"""Codes of the audit that mean the road does not reopen in time."""
_LONGEST = 24 * 7 * SLOTS_PER_HOUR
"""No closure is searched further than this [slots]."""


@dataclass(frozen=True)
class Latest:
    """A visit, and the slots by which it and all after it in its closure can go later; None if it is late already."""

    visit: Placement
    spare: int | None
    stretch: str


def latest_starts(scene: Scene) -> tuple[Latest, ...]:
    """Return the first visit of the shift in each exposed stretch, and each that places a layer to be driven on."""
    found: dict[str, Latest] = {}
    for exposure in scene.planned.side.exposures:
        own = [visit for visit in scene.visits if visit.operation in exposure.inside and visit.closure]
        layers = {layer.operation for layer in exposure.fit}
        for visit in own:
            if visit == own[0] or visit.operation in layers:
                found[visit.operation] = Latest(visit, _spare(scene, exposure, visit), exposure.name)
    return tuple(found.values())


def _spare(scene: Scene, exposure: Exposure, visit: Placement) -> int | None:
    if _late(scene, exposure, visit, 0):
        return None
    low, high = 0, 1
    while high < _LONGEST and not _late(scene, exposure, visit, high):
        low, high = high, high * 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _late(scene, exposure, visit, middle) else (middle, high)
    return low


def _late(scene: Scene, exposure: Exposure, visit: Placement, slots: int) -> bool:
    """Say whether the road reopens late when `visit` and what follows it in the stretch start so much later."""
    plan = _moved(scene.planned.plan, exposure, visit, slots)
    auditor = scene.planned.auditor
    return any(one.code in _ROAD for key in exposure.inside for one in auditor.audit_one(plan, key))


def _moved(plan: Plan, exposure: Exposure, first: Placement, slots: int) -> Plan:
    return replace(
        plan,
        placements=tuple(
            replace(one, start=Slot(one.start + slots), finish=Slot(one.finish + slots))
            if one.operation in exposure.inside and one.start >= first.start
            else one
            for one in plan.placements
        ),
    )


def reopen_rows(scene: Scene, latest: tuple[Latest, ...]) -> Iterator[ReopenRow]:
    """Yield the rows of each stretch of the shift; then for each closure without one, the last work in it.

    Of starts of a stretch that could all wait until the shift is over, the first speaks for the others.
    """
    past: set[tuple[str, str]] = set()
    for one in latest:
        stretch = (one.stretch, element_of(one.visit.operation))
        far = one.spare is not None and one.visit.start + one.spare > scene.span.finish
        if far and stretch in past:
            continue
        past |= {stretch} if far else set()
        yield _stretch_row(scene, one, far)
    yield from _plain_closures(scene, {one.visit.closure for one in latest})


def _stretch_row(scene: Scene, one: Latest, far: bool) -> ReopenRow:
    clears = scene.planned.side.works[scene.planned.job.closure(one.visit.closure or "").id][1]
    words = f"“{clean(one.stretch)}” fit for traffic when clearing starts, {scene.clock.minute(clears)}"
    planned = scene.clock.slot(scene.planned.as_planned(one.visit).start)
    at = "too late as planned" if one.spare is None else scene.clock.slot(one.visit.start + one.spare)
    return ReopenRow(scene.work(one.visit), planned, f"past this shift ({at})" if far else at, words)


def _plain_closures(scene: Scene, told: set[str | None]) -> Iterator[ReopenRow]:
    named = dict.fromkeys(visit.closure for visit in scene.visits if visit.closure not in told)
    for id in named:
        if id is None or id not in scene.planned.side.works:
            continue
        last = max((one for one in scene.visits if one.closure == id), key=lambda one: one.finish)
        until = scene.planned.side.works[id][1]
        latest = until // SLOT_MINUTES - (last.finish - last.start)
        words = f"last work in the closure; off the lane when clearing starts, {scene.clock.minute(until)}"
        at = scene.clock.slot(latest) if latest >= last.start else "too late as planned"
        yield ReopenRow(scene.work(last), scene.clock.slot(scene.planned.as_planned(last).start), at, words)
