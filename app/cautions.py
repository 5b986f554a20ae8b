"""The cautions that the About page and every printed sheet carry."""

from __future__ import annotations

CAUTIONS: tuple[str, ...] = (
    "A sequence and timing aid only: product data sheets, the specification and the engineer's instructions govern.",
    "Temporary works, jacking, lifting, traffic management, work at height, hydrodemolition and hot works are "
    "designed, approved and supervised by competent, licensed people under local law and codes.",
    "Readings on the day overrule the forecast.",
    "Operations that jack, lift, lower or reopen to traffic are hold points; this program never shows one as "
    "released.",
)
