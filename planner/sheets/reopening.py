"""The latest start that still reopens the road in time: the rest of an exposed stretch, moved later as one piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from planner.audit.ties import Exposure
from planner.model import Placement, Plan
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
    """Yield a row for each stretch of the shift; then for each closure without one, the last work in it."""
    for one in latest:
        closure = scene.planned.job.closure(one.visit.closure or "")
        work = scene.planned.side.works[closure.id]
        words = f"“{clean(one.stretch)}” fit for traffic when clearing starts, {scene.clock.minute(work[1])}"
        planned = scene.clock.slot(scene.planned.as_planned(one.visit).start)
        if one.spare is None:
            yield ReopenRow(scene.work(one.visit), planned, "too late as planned", words)
        else:
            at = scene.clock.slot(one.visit.start + one.spare)
            if one.visit.start + one.spare > scene.span.finish:
                at = f"past this shift ({at})"
            yield ReopenRow(scene.work(one.visit), planned, at, words)
    yield from _plain_closures(scene, {one.visit.closure for one in latest})


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
