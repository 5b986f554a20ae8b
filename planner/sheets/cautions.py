"""The cautions on a shift sheet: the usual ones, and those of the work that is on it."""

from __future__ import annotations

from collections.abc import Iterable

AID_ONLY = (
    "A sequence and timing aid only: product data sheets, the specification and the engineer's instructions govern."
)
READINGS_OVERRULE = "Readings on the day overrule the forecast."
GOVERNED = (
    "Temporary works, jacking, lifting, traffic management, work at height, hydrodemolition and hot works are "
    "designed, approved and supervised by competent, licensed people under local law and codes."
)
"""The usual cautions, in one wording for sheets, prints and the About page."""

GENERAL: tuple[str, ...] = (
    AID_ONLY,
    READINGS_OVERRULE,
    "Hold points are released on site by someone entitled to do so; this sheet never shows one as released.",
)
"""On every sheet, at the foot of every page."""

_BY_KIND: dict[str, str] = {
    "hydrodemolition": "Hydrodemolition: trained operators, screens, exclusion zone kept, run-off contained.",
    "jacking": "Jacking: to the signed scheme, engineer present; nobody under a load that is not locked off.",
    "lifting": "Lifting: lifting plan in hand, appointed person, wind read; nobody under the load.",
    "hot-works": "Hot works: permit, extinguisher and fire watch; bitumen burn: cool with water, don't pull off.",
    "resins": "Resins: gloves, eyes and skin covered, air moving; a mix left in its tin can boil and smoke.",
    "cement": "Cement: wet mix burns skin; gloves, boots, eyes covered, wash at once.",
    "dust": "Dust: silica; wet cutting or extraction, fitted masks.",
    "traffic": "Traffic: nobody past cones or temporary barrier; traffic management alone sets and lifts them.",
    "excavation": "Excavation: support and access checked before the shift; no load at the edge.",
    "height": "Work at height: scaffold tagged, edge protection in place.",
}


def caution_words(kinds: Iterable[str]) -> tuple[str, ...]:
    """Return the cautions of the kinds of work on a sheet, each once, then who governs such work."""
    found = tuple(_BY_KIND[kind] for kind in _BY_KIND if kind in set(kinds))
    return (*found, GOVERNED)
