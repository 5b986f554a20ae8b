"""How much later a visit can start, and what stops it: alone, or with all of its shift that comes after it."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, replace

from planner.audit.explain import reason_words, why_here
from planner.audit.wording import length_words
from planner.findings import Finding
from planner.model import Placement, Plan
from planner.sheets.scene import Scene
from planner.sheets.words import clean
from planner.units import SLOT_MINUTES, SLOTS_PER_HOUR, Slot

_MOVES_ALONG = frozenset({"gang-busy", "move-too-short", "order", "link-order", "gap-early", "plant-over"})
"""Codes of the audit that only say that later work is in the way: it can go later too."""
ALL_AFTER = "if all after it goes later too"
_MOST = 4 * SLOTS_PER_HOUR
"""Further than this no delay of the rest of a shift is tried [slots]: it is another plan by then."""


@dataclass(frozen=True)
class Together:
    """Slots by which the rest of a shift can go later as one piece, and what breaks next in words, if anything."""

    slots: int
    stops: str


def spare_words(scene: Scene, visit: Placement, latest: int) -> str:
    """Return how much later a visit can start before something breaks, and what, unless that is told at `latest`.

    latest: the slot by which the sheet says that it must have started.
    """
    planned = scene.planned
    told = any(one.place == visit.operation for one in planned.breaches)
    if not scene.is_first(visit) or (visit.operation, "start") in planned.exact:
        return "Broken as recorded." if told and scene.is_first(visit) else ""
    why = why_here(planned.job, planned.weather, planned.plan, visit.operation, planned.auditor, planned.exact)
    if why.spare_later is None:
        return "Broken as planned." if told else ""
    firm = [one for one in why.next_break if one.code not in _MOVES_ALONG]
    if not firm:
        return _with_the_rest(scene, visit, why.spare_later)
    if visit.start + why.spare_later == latest:
        return f"{_length(why.spare_later)}."
    return f"{_length(why.spare_later)}: {clean(firm[0].required, 170)}."


def _with_the_rest(scene: Scene, visit: Placement, alone: int) -> str:
    found = together(scene, visit)
    if found is None:
        return f"{_length(alone)}; later work would move with it."
    if not found.stops:
        return f"Spare {length_words(found.slots * SLOT_MINUTES)} and more, {ALL_AFTER}."
    if not found.slots:
        return f"No spare, even {ALL_AFTER}: {found.stops}."
    return f"{_length(found.slots)} {ALL_AFTER}; then {found.stops}."


def _length(slots: int) -> str:
    return f"Spare {length_words(slots * SLOT_MINUTES)}" if slots else "No spare"


def together(scene: Scene, visit: Placement) -> Together | None:
    """Return how much later a visit and all work of its shift after it can go as one piece, everything else staying.

    None where some of that work is broken already, or recorded.
    """
    rest = tuple(one for one in scene.visits if one.start >= visit.start)
    if any(scene.planned.real_of(one) is not None for one in rest) or _breaks(scene, rest, 0):
        return None
    for slots in range(1, _MOST + 1):
        stops = _breaks(scene, rest, slots)
        if stops:
            return Together(slots - 1, stops)
    return Together(_MOST, "")


def _breaks(scene: Scene, rest: tuple[Placement, ...], slots: int) -> str:
    """Return what breaks first when visits start so much later, in words; nothing where all is well."""
    planned, plan = scene.planned, _moved(scene.planned.plan, rest, slots)
    own = dict.fromkeys(one.operation for one in rest)
    for key in own:
        for found in planned.auditor.audit_one(plan, key, planned.exact):
            return _stop(scene, found, own)
    return ""


def _stop(scene: Scene, found: Finding, own: Container[str]) -> str:
    """Return what is in the way: work of another shift or gang by its name, else the kind of rule."""
    duty = scene.planned.side.duties.get(found.place)
    if duty is None or found.place in own or found.code not in _MOVES_ALONG:
        return reason_words(found.code)
    return f"“{clean(duty.name, 60)}” ({clean(duty.element.name, 60)}) waits for it"


def _moved(plan: Plan, rest: tuple[Placement, ...], slots: int) -> Plan:
    moved = {one: replace(one, start=Slot(one.start + slots), finish=Slot(one.finish + slots)) for one in rest}
    return replace(plan, placements=tuple(moved.get(one, one) for one in plan.placements))
