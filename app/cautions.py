"""The cautions that the About page and every printed sheet carry."""

from __future__ import annotations

from planner.sheets.cautions import AID_ONLY, GOVERNED, READINGS_OVERRULE

CAUTIONS: tuple[str, ...] = (
    AID_ONLY,
    GOVERNED,
    READINGS_OVERRULE,
    "Operations that jack, lift, lower or reopen to traffic are hold points; this program never shows one as "
    "released.",
)
